//! What holds of every audit, on random programmes over the built-in catalogue.

use crate::kit::Case;
use crate::{CODES, Report, audit, certify, mend};
use proptest::prelude::*;
use setwright_gym::catalogue::builtin;
use setwright_model::brief::{Focus, Goal, Lock, MinutesPerSession, Place, Priority, TrainingAge};
use setwright_model::{
    Block, BlockKind, Brief, FractionalSets, Kilograms, Minutes, Muscle, Prescription, Programme, RampStep,
    Seconds, Session, Severity,
};

fn load() -> impl Strategy<Value = Option<Kilograms>> {
    let odd = prop_oneof![Just(f64::NAN), Just(-5.0), Just(1e9), Just(f64::INFINITY)];
    prop_oneof![4 => Just(None), 8 => (0_u32..400).prop_map(|h| Some(f64::from(h) / 2.0)), 1 => odd.prop_map(Some)]
        .prop_map(|l| l.map(Kilograms))
}

fn count() -> impl Strategy<Value = u32> {
    prop_oneof![12 => 1_u32..6, 2 => 0_u32..40, 1 => any::<u32>()]
}

fn prescription() -> impl Strategy<Value = Prescription> {
    let ids: Vec<_> = builtin().iter().map(|e| e.id.clone()).chain(["nobody_knows_this".into()]).collect();
    let step = (count(), load()).prop_map(|(reps, load_kg)| RampStep { reps, load_kg });
    let ramp = prop::collection::vec(step, 0..5);
    let reps = prop_oneof![9 => (3_u32..15, 0_u32..5).prop_map(|(l, d)| [l, l + d]), 1 => any::<[u32; 2]>()];
    (prop::sample::select(ids), count(), reps, count(), load(), ramp)
        .prop_map(|(id, sets, reps, rir, load_kg, ramp)| Prescription { id, sets, reps, rir, load_kg, ramp })
}

fn block() -> impl Strategy<Value = Block> {
    let kind = prop::sample::select(vec![BlockKind::Straight, BlockKind::Alternating, BlockKind::SameMuscle]);
    let rest_s = prop_oneof![9 => 0.0..240.0, 1 => prop::sample::select(vec![f64::NAN, -1.0, 1e300])];
    (kind, rest_s, prop::collection::vec(prescription(), 0..4)).prop_map(|(kind, rest_s, exercises)| Block {
        kind,
        rest_s: Seconds(rest_s),
        exercises,
    })
}

fn session(day: impl Strategy<Value = u32>) -> impl Strategy<Value = Session> {
    (day, prop::collection::vec(block(), 0..6)).prop_map(|(day, blocks)| Session {
        day,
        focus: String::new(),
        blocks,
    })
}

fn programme() -> impl Strategy<Value = Programme> {
    let day = || prop_oneof![9 => 1_u32..10, 1 => any::<u32>()];
    let cycle = prop_oneof![9 => 5_u32..15, 1 => any::<u32>()];
    (cycle, prop::collection::vec(session(day()), 0..5)).prop_map(|(cycle_days, sessions)| Programme {
        client: String::new(),
        cycle_days,
        sessions,
    })
}

fn brief() -> impl Strategy<Value = Brief> {
    use TrainingAge::{Advanced, Beginner, FirstWeeks, Intermediate};
    let age = prop::sample::select(vec![FirstWeeks, Beginner, Intermediate, Advanced]);
    let goal = prop::sample::select(vec![Goal::General, Goal::Size, Goal::Strength]);
    let place = prop::sample::select(vec![Place::Bare, Place::HomeDumbbells, Place::Garage, Place::FullGym]);
    let focus = prop::collection::vec(
        prop::sample::select(vec![Focus::WholeBody, Focus::Upper, Focus::Lower, Focus::Push, Focus::Legs]),
        0..4,
    );
    let muscle = prop::sample::select(Muscle::ALL.to_vec());
    let lock = prop::option::of((prescription(), prop::option::of(1_u32..4), prop::option::of(1_u32..6)));
    (age, goal, place, focus, muscle, lock, any::<[bool; 4]>(), 10.0..90.0).prop_map(
        |(age, goal, place, focus, muscle, lock, [busy, cold, alternate, top], minutes)| {
            let mut brief = Case::new([]).brief;
            (brief.training_age, brief.goal, brief.equipment.place) = (age, goal, place);
            (brief.time.busy, brief.time.cold, brief.style.alternate) = (busy, cold, alternate);
            brief.time.minutes = MinutesPerSession::Same(Minutes(minutes));
            brief.style.focus = focus;
            let wish = brief.muscles.entry(muscle).or_default();
            wish.priority = top.then_some(Priority::Top);
            wish.least = Some(FractionalSets(4.0));
            brief.locks = lock
                .map(|(p, session, sets)| Lock { exercise: p.id, session, sets, with: None })
                .into_iter()
                .collect();
            brief
        },
    )
}

fn judged(programme: &Programme, brief: Option<&Brief>) -> Report {
    audit(programme, brief, builtin(), &Case::new([]).belief)
}

/// A week on distinct days with ordinary numbers, and how far to shift it.
fn week() -> impl Strategy<Value = (Programme, u32)> {
    let tame = |mut s: Session| {
        for p in s.blocks.iter_mut().flat_map(|b| b.exercises.iter_mut()) {
            p.sets = p.sets % 5 + 1;
            p.rir %= 4;
        }
        s
    };
    let days = prop::sample::subsequence((1..=7_u32).collect::<Vec<_>>(), 1..5);
    let sessions = prop::collection::vec(session(Just(1)), 4);
    (days, sessions, 0_u32..7).prop_map(move |(days, sessions, shift)| {
        let sessions = days.iter().zip(sessions).map(|(day, s)| tame(Session { day: *day, ..s })).collect();
        (Programme { client: String::new(), cycle_days: 7, sessions }, shift)
    })
}

/// Recovery findings without their session numbers: code and muscle, sorted.
fn recovery(programme: &Programme) -> Vec<(&'static str, String)> {
    let report = judged(programme, None);
    let of = report.findings.iter().filter(|f| ["SW102", "SW103", "SW131"].contains(&f.code));
    let muscle = |subject: &str| subject.split_once(", ").map_or(String::new(), |(_, m)| m.to_owned());
    let mut found: Vec<_> = of.map(|f| (f.code, muscle(&f.subject))).collect();
    found.sort();
    found
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn an_audit_never_panics_and_says_only_registered_codes(programme in programme(), brief in brief()) {
        for brief in [None, Some(&brief)] {
            let report = judged(&programme, brief);
            for f in &report.findings {
                prop_assert!(CODES.iter().any(|c| c.code == f.code), "{}", f.code);
                prop_assert!(!f.subject.is_empty() && !f.cause.is_empty() && !f.hint.is_empty());
            }
            prop_assert!(report.findings.windows(2).all(|w| w[0].severity >= w[1].severity));
            prop_assert_eq!(report.sessions.len(), programme.sessions.len());
            prop_assert_eq!(report.muscles.len(), Muscle::COUNT);
        }
    }

    #[test]
    fn only_a_programme_without_errors_is_certified(programme in programme(), brief in brief()) {
        let errors = judged(&programme, Some(&brief)).count(Severity::Error);
        let certified = certify(programme, &brief, builtin(), &Case::new([]).belief);
        prop_assert_eq!(certified.is_ok(), errors == 0);
    }

    #[test]
    fn the_parts_of_a_session_add_up(programme in programme()) {
        for s in judged(&programme, None).sessions {
            let sum = s.work.get() + s.rest.get() + s.idle.get();
            prop_assert!((sum - s.minutes.to_seconds().get()).abs() < 1e-6 * (1.0 + sum));
        }
    }

    #[test]
    fn shifting_every_day_round_the_cycle_keeps_recovery(case in week()) {
        let (programme, shift) = case;
        let mut shifted = programme.clone();
        for s in &mut shifted.sessions {
            s.day = (s.day - 1 + shift) % 7 + 1;
        }
        prop_assert_eq!(recovery(&programme), recovery(&shifted));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4))]

    #[test]
    fn a_repair_leaves_less_wrong_than_there_was(case in week(), brief in brief()) {
        let (programme, _) = case;
        let belief = Case::new([]).belief;
        if let Some(mend) = mend(&programme, Some(&brief), builtin(), &belief) {
            let counts = |f: &[setwright_model::Finding]| {
                let of = |s| f.iter().filter(|f| f.severity == s).count();
                (of(Severity::Error), of(Severity::Warning))
            };
            prop_assert!(counts(mend.findings_after()) <= counts(&judged(&programme, Some(&brief)).findings));
            prop_assert!(!mend.steps.is_empty());
            prop_assert_eq!(mend.findings_after(), &judged(mend.programme.programme(), Some(&brief)).findings);
        }
    }
}

#[test]
fn an_empty_programme_is_judged_too() {
    let empty = Programme { client: String::new(), cycle_days: 0, sessions: Vec::new() };
    assert!(judged(&empty, None).is_clean());
    let brief = Case::new([]).brief;
    let report = judged(&empty, Some(&brief));
    assert!(!report.is_clean() && report.findings.iter().any(|f| f.code == "SW107"));
    assert!(report.sessions.is_empty());
}
