//! Re-estimates what is believed of a client when something was written of them, and only then. While a session goes on, what was
//! believed before it counts as long as nothing but the session was written; what is believed after it is one step of the estimator
//! more, until the whole log is read anew behind the pages.

use crate::belief_cache::{BeliefCache, CachedBelief};
use crate::change_events::{self, ChangeEvent};
use crate::insight::{self, Known};
use crate::ledger::UnitOfWork;
use setwright_gym::catalogue::builtin;
use setwright_model::ledger::{ClientId, EventId};
use setwright_model::refusal::Refusal;
use setwright_store::{ClientState, Seq};
use std::sync::Arc;

/// Events of a session that is going on: with more, it is calculated anew (judgement: a long one has under a hundred).
const OF_SESSION: usize = 500;

/// What was written of a client, as far as a belief is concerned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Written {
    Nothing,
    /// Of this session alone.
    Of(EventId),
    More,
}

impl Written {
    /// All of these changes together.
    fn of(changes: &[ChangeEvent]) -> Self {
        let mut only = Self::Nothing;
        for change in changes {
            let now = match change {
                // What was answered is read anew.
                ChangeEvent::Words => continue,
                ChangeEvent::Session(session) => Self::Of(*session),
                ChangeEvent::Card
                | ChangeEvent::Brief
                | ChangeEvent::Programme
                | ChangeEvent::Screening
                | ChangeEvent::Body
                | ChangeEvent::Pain
                | ChangeEvent::Voided => Self::More,
            };
            if now == Self::More || (only != Self::Nothing && only != now) {
                return Self::More;
            }
            only = now;
        }
        only
    }

    /// Whether nothing but a session was written.
    fn is_of(self, session: EventId) -> bool {
        self == Self::Nothing || self == Self::Of(session)
    }
}

fn written(uow: &mut UnitOfWork, client: ClientId, after: Seq) -> Result<Written, Refusal> {
    let changes = change_events::since(uow, client, after, OF_SESSION)?;
    Ok(changes.map_or(Written::More, |changes| Written::of(&changes)))
}

/// Everything believed of a client as of the last event, calculated anew only when something was written since.
///
/// # Errors
/// A ledger that cannot be read.
pub fn known(
    beliefs: &BeliefCache,
    uow: &mut UnitOfWork,
    client: ClientState,
    last: Seq,
) -> Result<Arc<Known>, Refusal> {
    cached_or_calculated(beliefs, uow, client, last, true)
}

/// The same behind the pages: it drives out nobody who is being looked at.
///
/// # Errors
/// A ledger that cannot be read.
pub fn known_behind(
    beliefs: &BeliefCache,
    uow: &mut UnitOfWork,
    client: ClientState,
    last: Seq,
) -> Result<Arc<Known>, Refusal> {
    cached_or_calculated(beliefs, uow, client, last, false)
}

fn cached_or_calculated(
    beliefs: &BeliefCache,
    uow: &mut UnitOfWork,
    client: ClientState,
    last: Seq,
    looked_at: bool,
) -> Result<Arc<Known>, Refusal> {
    let id = client.client;
    if let Some(known) = beliefs.get(id, last, uow.wall.now(), !looked_at) {
        return Ok(known);
    }
    let stepped = if looked_at { stepped(beliefs, uow, &client, last)? } else { None };
    let (known, whole) = match stepped {
        Some(stepped) => stepped,
        None => (insight::known_of(uow, client, builtin())?, true),
    };
    let known = Arc::new(known);
    beliefs.put(id, CachedBelief::of(Arc::clone(&known), last, whole), looked_at);
    Ok(known)
}

/// What is believed after the session that alone was written of since the last belief, and whether the whole log was read
/// for it.
fn stepped(
    beliefs: &BeliefCache,
    uow: &mut UnitOfWork,
    client: &ClientState,
    seq: Seq,
) -> Result<Option<(Known, bool)>, Refusal> {
    let Some(last) = beliefs.last(client.client) else { return Ok(None) };
    match written(uow, client.client, last.seq)? {
        Written::Nothing => {
            let known = insight::answered_since(uow, (*last.known).clone())?;
            Ok(Some((known, last.whole)))
        }
        Written::Of(session) => {
            let before = known_before(beliefs, uow, client.clone(), session, seq)?;
            let known = insight::known_after(uow, &before, session, builtin())?;
            Ok(known.map(|known| (known, false)))
        }
        Written::More => Ok(None),
    }
}

/// Everything that was believed of a client before a session that is going on.
///
/// # Errors
/// A ledger that cannot be read.
pub fn known_before(
    beliefs: &BeliefCache,
    uow: &mut UnitOfWork,
    client: ClientState,
    session: EventId,
    last: Seq,
) -> Result<Arc<Known>, Refusal> {
    let id = client.client;
    let kept = beliefs.before(id, session);
    let mut kept = match kept {
        Some(kept) if kept.seq == last || written(uow, id, kept.seq)?.is_of(session) => kept,
        _ => {
            let known = insight::known_before(uow, client, session, builtin())?;
            CachedBelief::of(Arc::new(known), last, true)
        }
    };
    let known = kept.now(uow.wall.now());
    kept.seq = last;
    beliefs.put_before(id, session, kept);
    Ok(known)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_session_alone_is_a_step_and_anything_else_is_read_anew() {
        let id = |n: u8| EventId::from_bytes([0, 0, 0, 0, 0, 0, 0x70, 0, 0x80, 0, 0, 0, 0, 0, 0, n]).unwrap();
        let (one, other) = (ChangeEvent::Session(id(1)), ChangeEvent::Session(id(2)));
        assert_eq!(Written::of(&[]), Written::Nothing);
        assert_eq!(Written::of(&[ChangeEvent::Words]), Written::Nothing);
        assert_eq!(Written::of(&[one, ChangeEvent::Words, one]), Written::Of(id(1)));
        assert_eq!(Written::of(&[one, other]), Written::More);
        for more in
            [ChangeEvent::Card, ChangeEvent::Brief, ChangeEvent::Body, ChangeEvent::Pain, ChangeEvent::Voided]
        {
            assert_eq!(Written::of(&[one, more]), Written::More, "{more:?}");
        }
    }
}
