//! What may not be published any more, and what is written when it may.

use super::*;
use crate::demo;
use crate::insight::{self, BeliefStart};
use crate::ledger::clients::{self, ClientChange};
use crate::machine::Machine;
use crate::plan::{self, Objective, Search};
use crate::screen;
use setwright_gym::catalogue::builtin;
use setwright_model::brief::Screening;
use setwright_model::ledger::{BodyMass, BriefSet, Load, Note};
use setwright_model::{MassUnit, Seconds};
use setwright_store::SqliteStore;
use std::sync::LazyLock;

/// Bram of the demo roster, and a programme for him.
static BRAM: LazyLock<(Brief, Planned)> = LazyLock::new(|| {
    let brief = demo::roster(Some("bram")).unwrap().remove(0);
    let search = Search { mode: Objective::Benefit, seed: 1, moves: 60_000, limit: Seconds(120.0) };
    let watch = machine().wall.stopwatch();
    let planned = plan::plan(&brief, None, builtin(), search, &watch, &mut |_| {}).unwrap();
    (brief, planned)
});

fn machine() -> Machine {
    Machine::stopped("2026-11-27T09:00:00+01:00".parse().unwrap(), 1)
}

/// A ledger with Bram, his brief and its answers; each step of a story happens a minute after the one before.
struct Story {
    uow: UnitOfWork,
}

impl Story {
    fn new() -> Self {
        let mut story = Self { uow: UnitOfWork::on(SqliteStore::in_memory().unwrap(), &machine()) };
        clients::add(&mut story.uow, "Bram", "", Some(BRAM.0.clone())).unwrap();
        story.later(1);
        story
    }

    fn later(&mut self, minutes: i64) {
        let now = self.uow.wall.now();
        let then = Moment::new(now.unix_ms() + minutes * 60_000, now.offset_min()).unwrap();
        self.uow.wall = self.uow.wall.standing(then);
    }

    fn known(&mut self) -> Known {
        insight::known(&mut self.uow, "Bram", BeliefStart::Population, builtin()).unwrap()
    }

    fn publish(&mut self, from: &Current, brief: &Brief) -> Result<Published, Refusal> {
        self.later(1);
        let known = self.known();
        let done = planned(&mut self.uow, &known, from, (brief, &BRAM.1), builtin());
        self.later(1);
        done
    }

    fn change(&mut self, brief: Brief) {
        self.later(1);
        clients::change(
            &mut self.uow,
            "Bram",
            ClientChange { brief: Some(brief), ..ClientChange::default() },
        )
        .unwrap();
    }

    fn answer(&mut self, change: impl Fn(&mut Screening)) {
        self.later(1);
        let mut answers = BRAM.0.screening.clone();
        change(&mut answers);
        screen::keep(&mut self.uow, "Bram", &answers).unwrap();
        self.later(1);
    }

    fn in_force(&mut self) -> Brief {
        let client = self.known().client.client;
        current::brief_in_force(&mut self.uow, client).unwrap().unwrap()
    }

    fn provenance(&mut self) -> Provenance {
        self.known().programme.unwrap().provenance
    }
}

fn without_squats() -> Brief {
    let mut brief = BRAM.0.clone();
    brief.exclude.exercises.push("back_squat".into());
    brief
}

fn refused(done: Result<Published, Refusal>, code: Code, parts: &[&str]) {
    let refusal = done.unwrap_err();
    assert_eq!(refusal.code, code, "{}", refusal.what);
    for part in parts {
        assert!(refusal.what.contains(part) || refusal.hint.contains(part), "{part}: {refusal:?}");
    }
}

#[test]
fn a_programme_names_what_it_was_certified_for() {
    let mut story = Story::new();
    let from = story.known().current;
    story.publish(&from, &BRAM.0).unwrap();
    let provenance = story.provenance();
    assert_eq!((provenance.brief, provenance.screening), (from.brief, from.screening));
    assert!(from.brief.is_some() && from.screening.is_some() && from.brief != from.screening);
    assert_eq!(provenance.belief, from.last);
    let fewer = Catalogue::new(builtin().iter().skip(1).cloned());
    assert_eq!(provenance.catalogue, Some(name_of(builtin())));
    assert_ne!(name_of(&fewer), name_of(builtin()));
}

#[test]
fn a_programme_that_was_planned_before_another_brief_is_refused_and_nothing_changes() {
    let mut story = Story::new();
    let from = story.known().current;
    story.change(without_squats());
    let fingerprint = story.uow.store.fingerprint().unwrap();
    refused(
        story.publish(&from, &BRAM.0),
        Code::SomethingNewer,
        &["Another brief of Bram", "2026-11-27", "Plan again"],
    );
    assert_eq!(story.uow.store.fingerprint().unwrap(), fingerprint);
    assert_eq!(story.in_force().exclude, without_squats().exclude);
}

#[test]
fn of_two_programmes_that_were_begun_together_the_second_is_refused() {
    let mut story = Story::new();
    let from = story.known().current;
    story.publish(&from, &BRAM.0).unwrap();
    refused(story.publish(&from, &BRAM.0), Code::SomethingNewer, &["Another programme of Bram"]);
    let from = story.known().current;
    let again = story.publish(&from, &BRAM.0).unwrap();
    assert_eq!(again.replaced.map(|at| at.date().to_string()).as_deref(), Some("2026-11-27"));
}

#[test]
fn a_warning_sign_that_was_reported_since_stays_and_refuses() {
    let mut story = Story::new();
    let from = story.known().current;
    story.answer(|a| a.signs = Some(true));
    refused(story.publish(&from, &BRAM.0), Code::ClinicianFirst, &["a warning sign"]);
    assert_eq!(story.in_force().screening.signs, Some(true));
    story.answer(|a| (a.signs, a.cleared) = (Some(true), Some(true)));
    story.publish(&from, &BRAM.0).unwrap();
    assert_eq!(
        story.in_force().screening.cleared,
        Some(true),
        "the newer answers hold, not those of the plan"
    );
}

#[test]
fn what_was_logged_since_has_the_programme_certified_again() {
    let mut story = Story::new();
    let from = story.known().current;
    story.later(1);
    let note = What::Note(Note { text: "slept badly".to_owned(), about: None });
    let event = story.uow.event(from.client, None, None, note);
    story.uow.write(vec![event]).unwrap();
    let last = story.known().current.last;
    story.publish(&from, &BRAM.0).unwrap();
    assert_eq!(story.provenance().belief, last);
    assert_ne!(last, from.last);

    let mut story = Story::new();
    let from = story.known().current;
    let (mut brief, planned) = BRAM.clone();
    brief
        .exclude
        .exercises
        .extend(planned.programme.unwrap().get().sessions[0].prescriptions().map(|p| p.id.clone()));
    refused(
        story.publish(&from.of_brief_alone(), &brief),
        Code::SomethingNewer,
        &["does not pass the check", "SW112"],
    );
}

#[test]
fn an_unscreened_client_gets_no_programme_until_the_questions_are_answered() {
    let mut story = Story::new();
    let from = story.known().current;
    story.answer(|a| *a = Screening { active: Some(true), ..Screening::default() });
    refused(
        story.publish(&from, &BRAM.0),
        Code::NotScreened,
        &["stays a draft", "known_disease", "setwright screen"],
    );
    let by_hand_too = by_hand_of(&mut story);
    assert_eq!(by_hand_too.unwrap_err()[0].code, Code::NotScreened);
    story.answer(|_| ());
    story.publish(&from, &BRAM.0).unwrap();
}

fn by_hand_of(story: &mut Story) -> Result<Published, Vec<Refusal>> {
    let programme = BRAM.1.programme.as_ref().unwrap().get().clone();
    let known = story.known();
    by_hand(&mut story.uow, &known, programme, None, MassUnit::Kg, builtin())
}

#[test]
fn a_brief_from_a_file_that_is_not_the_current_one_is_refused_by_what_differs() {
    let mut story = Story::new();
    story.change(without_squats());
    let refusal = ready(&mut story.uow, "bram", &BRAM.0).unwrap_err();
    assert_eq!(refusal.code, Code::SomethingNewer);
    assert!(refusal.what.ends_with("they differ in exclude."), "{}", refusal.what);
    let (current, _) = ready(&mut story.uow, "bram", &without_squats()).unwrap();
    assert_eq!(current.brief, story.known().current.brief);
    // What was weighed since is no other brief.
    let mass = What::BodyMass(BodyMass { mass: Load::new(83.0, MassUnit::Kg) });
    let weighed = story.uow.event(current.client, None, None, mass);
    story.uow.write(vec![weighed]).unwrap();
    let mut heavier = without_squats();
    heavier.body.mass_kg = Some(setwright_model::Kilograms(83.0));
    ready(&mut story.uow, "bram", &heavier).unwrap();
    heavier.body.mass_kg = Some(setwright_model::Kilograms(84.0));
    assert!(ready(&mut story.uow, "bram", &heavier).unwrap_err().what.ends_with("differ in body."));
}

#[test]
fn a_brief_that_is_kept_brings_first_answers_and_takes_none_back() {
    let mut story = Story::new();
    let client = story.known().client.client;
    let kept = story.uow.store.brief(client).unwrap().unwrap();
    assert_eq!(kept.brief.screening, Screening::default(), "answers are an event of their own");
    assert_eq!(story.in_force().screening, BRAM.0.screening);
    story.answer(|a| a.signs = Some(true));
    let old = ClientChange { brief: Some(BRAM.0.clone()), ..ClientChange::default() };
    let refusal = clients::change(&mut story.uow, "Bram", old).unwrap_err();
    assert_eq!(refusal.code, Code::SomethingNewer);
    let without = Brief { screening: Screening::default(), ..without_squats() };
    story.change(without);
    assert_eq!(story.in_force().screening.signs, Some(true));
    story.answer(|_| ());
    let mut with_a_sign = BRAM.0.clone();
    with_a_sign.screening.signs = Some(true);
    story.change(with_a_sign);
    assert_eq!(story.in_force().screening.signs, Some(true), "a brief that asks for a clinician is heard");
}

/// Writes a brief as programs did that kept the answers in it.
fn as_of_old(story: &mut Story, change: impl Fn(&mut Brief)) {
    story.later(1);
    let mut brief = BRAM.0.clone();
    change(&mut brief);
    let client = story.known().client.client;
    let event = story.uow.event(client, None, None, What::Brief(Box::new(BriefSet { brief })));
    story.uow.write(vec![event]).unwrap();
    story.later(1);
}

#[test]
fn an_old_ledger_with_answers_in_its_briefs_is_read_and_no_sign_in_it_is_lost() {
    let old = r#"{"program":"setwright 0.1.0","seed":1,"value":17.5}"#;
    let provenance: Provenance = serde_json::from_str(old).unwrap();
    assert_eq!(serde_json::to_string(&provenance).unwrap(), old);

    let mut story = Story::new();
    as_of_old(&mut story, |b| b.screening.known_disease = Some(true));
    assert_eq!(story.in_force().screening.known_disease, Some(true), "newer answers in a brief held");
    story.change(Brief { screening: Screening::default(), ..without_squats() });
    assert_eq!(story.in_force().screening.known_disease, Some(true), "and are kept when the brief goes");

    let mut story = Story::new();
    story.answer(|a| a.signs = Some(true));
    as_of_old(&mut story, |_| ());
    assert_eq!(story.in_force().screening.signs, Some(true), "an old brief that was published over a sign");
    story.answer(|_| ());
    assert_eq!(story.in_force().screening.signs, Some(false));
    as_of_old(&mut story, |b| b.screening.signs = Some(true));
    assert_eq!(story.in_force().screening.signs, Some(true), "a sign that was kept with a brief");
}

#[test]
fn a_programme_that_is_dated_ahead_is_not_published_over_in_silence() {
    let mut story = Story::new();
    let from = story.known().current;
    story.later(60 * 24 * 365);
    story.publish(&from, &BRAM.0).unwrap();
    story.later(-60 * 24 * 365);
    let from = story.known().current;
    refused(story.publish(&from, &BRAM.0), Code::SomethingNewer, &["dated 2027-11-27", "setwright undo"]);
}

#[test]
fn what_is_planned_from_has_the_body_mass_of_the_log_whichever_brief_is_given() {
    let mut story = Story::new();
    let client = story.known().client.client;
    let mass = What::BodyMass(BodyMass { mass: Load::new(83.0, MassUnit::Kg) });
    let weighed = story.uow.event(client, None, None, mass);
    story.uow.write(vec![weighed]).unwrap();
    story.later(1);
    let known = story.known();
    let edited = known.brief_to_plan(Some(without_squats())).unwrap();
    assert_eq!(edited.exclude.exercises, without_squats().exclude.exercises);
    for brief in [edited, known.brief_to_plan(None).unwrap()] {
        assert_eq!(brief.body.mass_kg, Some(setwright_model::Kilograms(83.0)));
    }
}
