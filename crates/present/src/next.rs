//! The coming session as it is shown, with what is known of its loads.

use crate::pain;
use crate::view::{self, SessionView};
use serde::Serialize;
use setwright_coaching::insight::{self, Known, LoadNote, NotReady};
use setwright_model::Catalogue;
use setwright_model::code::Code;
use setwright_model::ledger::Moment;
use setwright_model::refusal::Refusal;
use setwright_science::screening::MayTrain;

/// The coming session.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NextView {
    /// What the client is called.
    pub client: String,
    /// When it is due by the programme.
    pub due: Moment,
    /// The hour that loads and readiness are reckoned for: when it is due, or now if that is past.
    pub at: Moment,
    /// The session with its loads.
    pub session: SessionView,
    /// What is known of each load.
    pub loads: Vec<LoadNote>,
    /// Muscles that may not be ready, the least ready first.
    pub not_ready: Vec<NotReady>,
    /// What is left out for pain, in sentences.
    pub left_out: Vec<String>,
}

/// The coming session of a client.
///
/// # Errors
/// No programme, or no brief.
pub fn next(may: MayTrain<&Known>, catalogue: &Catalogue) -> Result<NextView, Refusal> {
    let next = insight::next(may, catalogue)?;
    let known = *may.whom();
    let name = &known.client.card.name;
    let shown = view::programme(&next.programme, known.brief.as_ref(), catalogue);
    let mut session = shown.sessions.into_iter().next().ok_or_else(|| {
        let hint = "setwright plan BRIEF --publish CLIENT plans one and hands it out.";
        Refusal::new(Code::NothingInForce, format!("{name} has no session to come."), hint)
    })?;
    session.number = next.index + 1;
    let left_out = pain::left_out(known, &next.published, catalogue);
    let (client, loads, not_ready) = (name.clone(), next.loads, next.not_ready);
    Ok(NextView { client, due: next.due, at: next.at, session, loads, not_ready, left_out })
}
