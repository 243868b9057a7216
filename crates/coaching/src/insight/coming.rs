//! Which session of the programme comes next, and when it is due: the cycle goes on from the last session that
//! followed it.

use super::{Known, later};
use setwright_model::ledger::Moment;
use setwright_model::{Hours, Programme};

/// The session that comes next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Coming {
    /// Its place in the programme, from 0.
    pub index: usize,
    /// Its day of the cycle, from 1.
    pub day: u32,
    /// When it is due: as many days after the last one as the programme says; now when none was done.
    pub due: Moment,
}

/// The coming session of a client's programme.
pub fn coming(known: &Known) -> Option<Coming> {
    let state = known.programme.as_ref()?;
    let programme = &state.programme;
    // What ended early was not done: it comes again.
    let of_this = |s: &&setwright_store::SessionState| {
        s.counts()
            && (s.started.programme == Some(state.id) && s.started.day.is_some()
                || s.started.programme.is_none() && s.at.unix_ms() >= state.at.unix_ms())
    };
    let done = known.sessions.iter().rfind(of_this);
    let Some(last) = done else {
        let first = programme.sessions.first()?;
        return Some(Coming { index: 0, day: first.day, due: known.now });
    };
    let day = last.started.day.unwrap_or_else(|| day_by_count(known, programme));
    let (index, gap_days) = after(programme, day)?;
    let day = programme.sessions.get(index)?.day;
    Some(Coming { index, day, due: later(last.at, Hours(24.0 * f64::from(gap_days))) })
}

/// The day that the last session stood for when none said so: sessions since the programme began are counted off.
fn day_by_count(known: &Known, programme: &Programme) -> u32 {
    let since = known.programme.as_ref().map_or(i64::MIN, |p| p.at.unix_ms());
    let done = known.sessions.iter().filter(|s| s.counts() && s.at.unix_ms() >= since).count();
    let sessions = programme.sessions.len().max(1);
    programme.sessions.get((done + sessions - 1) % sessions).map_or(1, |s| s.day)
}

/// The session after a day of the cycle, and the days between.
fn after(programme: &Programme, day: u32) -> Option<(usize, u32)> {
    let later = programme.sessions.iter().position(|s| s.day > day);
    match later {
        Some(index) => Some((index, programme.sessions.get(index)?.day - day)),
        None => {
            Some((0, programme.cycle_days + programme.sessions.first()?.day - day.min(programme.cycle_days)))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_model::Session;

    #[test]
    fn the_cycle_goes_on_and_begins_again() {
        let session = |day| Session { day, focus: String::new(), blocks: Vec::new() };
        let programme = Programme {
            client: String::new(),
            cycle_days: 9,
            sessions: vec![session(2), session(5), session(8)],
        };
        assert_eq!(after(&programme, 2), Some((1, 3)));
        assert_eq!(after(&programme, 5), Some((2, 3)));
        assert_eq!(after(&programme, 8), Some((0, 3)));
        assert_eq!(after(&programme, 9), Some((0, 2)));
    }
}
