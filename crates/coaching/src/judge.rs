//! A programme that exists, judged as its client would have it judged: what the check finds, and the smallest repair.

use crate::belief;
use setwright_check::{Mend, Report};
use setwright_model::{Brief, Catalogue, Programme};

/// What was found.
#[derive(Clone, Debug)]
pub struct Judged {
    /// What the check says.
    pub report: Report,
    /// The smallest repair that was found, when something is wrong and something helps.
    pub mend: Option<Mend>,
}

/// Judges a programme by a brief, or for a client of ordinary aims.
pub fn judge(programme: &Programme, brief: Option<&Brief>, catalogue: &Catalogue) -> Judged {
    let belief = brief.map_or_else(|| belief::of_anyone(catalogue), |b| belief::of(b, catalogue));
    Judged {
        report: setwright_check::audit(programme, brief, catalogue, &belief),
        mend: setwright_check::mend(programme, brief, catalogue, &belief),
    }
}
