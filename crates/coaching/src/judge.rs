//! A programme that exists, judged as its client would have it judged: what the check finds, and the smallest repair.

use crate::belief;
use crate::insight::{self, Known};
use setwright_check::{JudgedProgramme, Mend};
use setwright_model::{Brief, Catalogue, Programme};
use setwright_science::screening::MayTrain;

/// What was found.
#[derive(Clone, Debug)]
pub struct Judged {
    /// The programme, and what the check says of it.
    pub programme: JudgedProgramme,
    /// The smallest repair that was found, when something is wrong and something helps.
    pub mend: Option<Mend>,
}

/// Judges a programme by a brief, or for a client of ordinary aims.
pub fn judge(programme: &Programme, brief: Option<&Brief>, catalogue: &Catalogue) -> Judged {
    let belief = brief.map_or_else(|| belief::of_anyone(catalogue), |b| belief::of(b, catalogue));
    Judged {
        programme: JudgedProgramme::of(programme.clone(), brief, catalogue, &belief),
        mend: setwright_check::mend(programme, brief, catalogue, &belief),
    }
}

/// The programme in force of a client, judged by the brief in force and what is believed of the client; none when nothing is in
/// force.
pub fn in_force(known: &Known, catalogue: &Catalogue) -> Option<JudgedProgramme> {
    let state = known.programme.as_ref()?;
    Some(JudgedProgramme::of(state.programme.clone(), known.brief.as_ref(), catalogue, &known.belief))
}

/// The same as it is trained: for somebody who may train, and without what is out for pain.
pub fn to_train(may: MayTrain<&Known>, catalogue: &Catalogue) -> Option<JudgedProgramme> {
    let known = *may.whom();
    let programme = insight::to_train(known)?;
    Some(JudgedProgramme::of(programme, known.brief.as_ref(), catalogue, &known.belief))
}
