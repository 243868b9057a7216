//! Two programmes beside each other: minutes, sets and exercises session by session, doses muscle by muscle, and what the
//! check says of one and not of the other. It judges nothing.

use crate::figures;
use crate::view::{self, LineView, ProgrammeView, SessionView};
use setwright_check::JudgedProgramme;
use setwright_model::{Brief, Catalogue, Finding, MassUnit, Muscle};
use std::collections::BTreeSet;

/// Sets a week below which a dose counts as unchanged (judgement).
const SAME_SETS: f64 = 0.05;

/// Two programmes beside each other.
#[derive(Clone, Debug, PartialEq)]
pub struct Compared {
    /// Sessions by their number.
    pub sessions: Vec<SessionChange>,
    /// Muscles that either programme trains, from the top of the body down.
    pub doses: Vec<DoseChange>,
    /// What is no longer said.
    pub gone: Vec<Finding>,
    /// What is said anew.
    pub new: Vec<Finding>,
    /// How much of what was said stays.
    pub stays: usize,
}

/// A value before and after; absent where there is no such session.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BeforeAfter<T> {
    /// Before.
    pub before: Option<T>,
    /// After.
    pub after: Option<T>,
}

impl<T: PartialEq> BeforeAfter<T> {
    /// Whether it is the same.
    pub fn is_same(&self) -> bool {
        self.before == self.after
    }
}

/// A session before and after.
#[derive(Clone, Debug, PartialEq)]
pub struct SessionChange {
    /// Number from 1.
    pub number: usize,
    /// Day of the cycle and what it is for.
    pub name: BeforeAfter<String>,
    /// Minutes by the session clock.
    pub minutes: BeforeAfter<f64>,
    /// Work sets.
    pub sets: BeforeAfter<u32>,
    /// Exercises, those of both programmes in one line.
    pub lines: Vec<Line>,
}

/// An exercise before and after, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// Plain name.
    pub name: String,
    /// How it was done.
    pub before: Option<String>,
    /// How it is done.
    pub after: Option<String>,
}

/// A muscle's sets a week before and after.
#[derive(Clone, Debug, PartialEq)]
pub struct DoseChange {
    /// Which.
    pub muscle: Muscle,
    /// Fractional sets a week.
    pub before: f64,
    /// Fractional sets a week.
    pub after: f64,
    /// What the brief asks.
    pub least: Option<f64>,
    /// What the brief allows.
    pub most: Option<f64>,
}

impl DoseChange {
    /// Whether it hardly changes.
    pub fn is_same(&self) -> bool {
        (self.before - self.after).abs() < SAME_SETS
    }
}

/// Puts two programmes beside each other, each with what the check says of it.
pub fn compare(
    before: &JudgedProgramme,
    after: &JudgedProgramme,
    brief: Option<&Brief>,
    unit: MassUnit,
    catalogue: &Catalogue,
) -> Compared {
    let old = view::programme(before, brief, catalogue);
    let new = view::programme(after, brief, catalogue);
    let said = |of: &JudgedProgramme| of.report().findings.iter().cloned().collect::<BTreeSet<Finding>>();
    let (had, has) = (said(before), said(after));
    let many = old.sessions.len().max(new.sessions.len());
    Compared {
        sessions: (0..many).map(|n| session(n, old.sessions.get(n), new.sessions.get(n), unit)).collect(),
        doses: doses(&old, &new),
        gone: had.difference(&has).cloned().collect(),
        new: has.difference(&had).cloned().collect(),
        stays: had.intersection(&has).count(),
    }
}

fn session(
    nth: usize,
    before: Option<&SessionView>,
    after: Option<&SessionView>,
    unit: MassUnit,
) -> SessionChange {
    fn both<T>(
        before: Option<&SessionView>,
        after: Option<&SessionView>,
        of: impl Fn(&SessionView) -> T,
    ) -> BeforeAfter<T> {
        BeforeAfter { before: before.map(&of), after: after.map(&of) }
    }
    SessionChange {
        number: nth + 1,
        name: both(before, after, |s| format!("day {}, {}", s.day, s.focus)),
        minutes: both(before, after, |s| s.minutes),
        sets: both(before, after, |s| s.sets),
        lines: lines(before, after, unit),
    }
}

/// Exercises in the order of the programme after; those that went stand where they stood before.
fn lines(before: Option<&SessionView>, after: Option<&SessionView>, unit: MassUnit) -> Vec<Line> {
    let old = before.map_or_else(Vec::new, |s| done(s, unit));
    let new = after.map_or_else(Vec::new, |s| done(s, unit));
    let mut out: Vec<(&str, Line)> = new
        .iter()
        .map(|(id, name, how)| {
            let was = old.iter().find(|(was, ..)| was == id).map(|(.., how)| how.clone());
            (*id, Line { name: (*name).to_owned(), before: was, after: Some(how.clone()) })
        })
        .collect();
    for (at, (id, name, how)) in old.iter().enumerate() {
        if new.iter().any(|(is, ..)| is == id) {
            continue;
        }
        let gone = Line { name: (*name).to_owned(), before: Some(how.clone()), after: None };
        let upper = old.get(at.wrapping_sub(1)).and_then(|(id, ..)| out.iter().position(|(o, _)| o == id));
        out.insert(upper.map_or(0, |u| u + 1), (id, gone));
    }
    out.into_iter().map(|(_, line)| line).collect()
}

fn done(session: &SessionView, unit: MassUnit) -> Vec<(&str, &str, String)> {
    let blocks = session.blocks.iter();
    blocks
        .flat_map(|b| b.lines.iter().map(|l| (l.id.as_str(), l.name.as_str(), how(l, b.rest_s, unit))))
        .collect()
}

/// "A1: 3 x 8-10, 60 kg, 2 in reserve, rest 60 s".
fn how(line: &LineView, rest_s: f64, unit: MassUnit) -> String {
    let reps = figures::range(line.reps);
    let counted = if line.counted_in.is_empty() { String::new() } else { format!(" {}", line.counted_in) };
    let load = line.load.kg.map_or_else(String::new, |kg| format!(", {}", unit.load(kg)));
    format!(
        "{}: {} x {reps}{counted}{load}, {} in reserve, rest {rest_s:.0} s",
        line.label, line.sets, line.rir
    )
}

fn doses(old: &ProgrammeView, new: &ProgrammeView) -> Vec<DoseChange> {
    let sets = |view: &ProgrammeView, muscle: Muscle| {
        view.muscles.iter().find(|m| m.id == muscle).map_or(0.0, |m| m.sets_per_week)
    };
    let asked = |muscle: Muscle| new.muscles.iter().find(|m| m.id == muscle);
    Muscle::ALL
        .into_iter()
        .map(|muscle| DoseChange {
            muscle,
            before: sets(old, muscle),
            after: sets(new, muscle),
            least: asked(muscle).and_then(|m| m.least),
            most: asked(muscle).and_then(|m| m.most),
        })
        .filter(|d| d.before > 0.0 || d.after > 0.0 || d.least.is_some())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_coaching::demo;
    use setwright_coaching::edit::{Ground, draft, edits};
    use setwright_coaching::insight::{self, BeliefStart, Known};
    use setwright_coaching::ledger::{UnitOfWork, clients};
    use setwright_coaching::machine::Machine;
    use setwright_coaching::plan::{self, Objective, Search};
    use setwright_coaching::publish;
    use setwright_gym::catalogue::builtin;
    use setwright_model::{Seconds, Severity};
    use setwright_store::Opening;

    /// A client of the demo with a programme in force.
    fn known() -> Known {
        let folder = tempfile::TempDir::new().unwrap();
        let machine = Machine::stopped("2026-11-27T09:00:00+01:00".parse().unwrap(), 1);
        let mut uow =
            UnitOfWork::open(&folder.path().join("ledger.sqlite3"), Opening::Create, &machine).unwrap();
        let brief = demo::roster(None).unwrap().into_iter().nth(1).unwrap();
        clients::add(&mut uow, &brief.name, "", Some(brief.clone())).unwrap();
        let search = Search { mode: Objective::Benefit, seed: 1, moves: 60_000, limit: Seconds(120.0) };
        let watch = uow.wall.stopwatch();
        let planned = plan::plan(&brief, None, builtin(), search, &watch, &mut |_| {}).unwrap();
        let known = insight::known(&mut uow, &brief.name, BeliefStart::Population, builtin()).unwrap();
        publish::planned(&mut uow, &known, &known.current, (&brief, &planned), builtin()).unwrap();
        insight::known(&mut uow, &brief.name, BeliefStart::Population, builtin()).unwrap()
    }

    #[test]
    fn what_a_change_does_is_seen_before_and_after() {
        let known = known();
        let ground = Ground::of(&known, builtin()).unwrap();
        let was = ground.judge(ground.programme, &ground.brief.locks);
        assert_eq!(was.report().count(Severity::Error), 0, "{:?}", was.report().findings);
        let judged = |text: &str| {
            let draft = draft(&ground, &edits(text).unwrap()).unwrap();
            let is = ground.judge(&draft.programme, &draft.locks);
            let unit = MassUnit::Kg;
            compare(&was, &is, Some(ground.brief), unit, builtin())
        };
        let same = judged("");
        assert!(same.sessions.iter().all(|s| s.minutes.is_same() && s.sets.is_same() && s.name.is_same()));
        assert!(same.sessions.iter().flat_map(|s| &s.lines).all(|l| l.before == l.after));
        assert!(same.doses.iter().all(DoseChange::is_same) && same.new.is_empty() && same.gone.is_empty());

        let more = judged("sets.0.0.0.9");
        assert!(more.sessions[0].minutes.after > more.sessions[0].minutes.before);
        assert!(more.doses.iter().any(|d| d.after > d.before + 1.0));
        // Amounts are mended, never refused.
        let many = |f: &Finding| f.code == "SW115" && f.severity == Severity::Warning;
        assert!(more.new.iter().any(many), "{:?}", more.new);

        let less = judged("remove.0.0.0");
        let gone: Vec<&Line> = less.sessions[0].lines.iter().filter(|l| l.after.is_none()).collect();
        assert_eq!(gone.len(), 1);
        assert_eq!(less.sessions[0].lines.len(), same.sessions[0].lines.len());
    }
}
