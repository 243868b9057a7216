//! The stories. Each takes an empty ledger of any make.

use super::kit::{Pen, done};
use proptest::prelude::*;
use setwright_model::MassUnit;
use setwright_model::Muscle;
use setwright_model::ledger::{
    BodyMass, Event, Load, Note, PainAnswered, PainReply, PainReported, SessionFinished, SessionResumed,
    Soreness, Spell, SpellKind, What,
};
use setwright_model::person::{BodyPart, BodySide};
use setwright_store::{EventFilter, Opening, Receipt, SqliteStore, State, StateKind, Store};
use tempfile::tempdir;

/// Tells a story to every make of ledger.
fn tell(story: impl Fn(&mut dyn Store)) {
    let folder = tempdir().unwrap();
    let mut store = SqliteStore::open(&folder.path().join("ledger.sqlite3"), Opening::Create).unwrap();
    story(&mut store);
    let (before, health) = (store.fingerprint().unwrap(), store.doctor().unwrap());
    assert_eq!(health.faults, [""; 0], "every story leaves a sound ledger");
    assert_eq!(health.fingerprint, before);
    let rebuilt = store.rebuild().unwrap();
    assert_eq!(
        (rebuilt.fingerprint, store.fingerprint().unwrap()),
        (before, before),
        "and rebuilds to the same"
    );
}

fn created(store: &mut dyn Store, events: &[Event]) {
    let answers = store.append(events).unwrap();
    assert!(answers.iter().all(|a| *a == Receipt::Created), "{answers:?}");
}

fn rejected(answer: &Receipt, field: &str) {
    assert!(matches!(answer, Receipt::Rejected(fault) if fault.field == field), "{answer:?}");
}

#[test]
fn an_event_that_arrives_twice_exists_and_changes_nothing() {
    tell(|store| {
        let events = Pen::new(1).client_with_sets("Mara", 3);
        created(store, &events);
        let before = store.fingerprint().unwrap();
        assert!(store.append(&events).unwrap().iter().all(|a| *a == Receipt::Exists));
        assert_eq!(store.fingerprint().unwrap(), before);
        assert_eq!(store.events(EventFilter::default(), 0, 100).unwrap().len(), events.len());
    });
}

#[test]
fn the_same_identifier_with_other_content_is_a_conflict() {
    tell(|store| {
        let mut pen = Pen::new(1);
        let events = pen.client_with_sets("Mara", 1);
        created(store, &events);
        let mut other = events[2].clone();
        other.reason = Some("typed again".to_owned());
        assert_eq!(store.append(&[other.clone()]).unwrap(), [Receipt::Conflict]);
        assert_eq!(store.event(other.id).unwrap(), Some(events[2].clone()));
        let fresh = pen.session(9);
        let twin = Event { at: Pen::at(10), ..fresh.clone() };
        let answers = store.append(&[fresh.clone(), twin, fresh]).unwrap();
        assert_eq!(answers, [Receipt::Created, Receipt::Conflict, Receipt::Exists]);
    });
}

#[test]
fn what_may_not_stand_is_rejected_with_its_field_and_the_rest_is_kept() {
    tell(|store| {
        let (mut mara, mut bram) = (Pen::new(1), Pen::new(2));
        let nobody = bram.session(0);
        rejected(&store.append(&[nobody]).unwrap()[0], "client");
        let events = mara.client_with_sets("Mara", 1);
        created(store, &events);
        created(store, &[bram.card("Bram")]);
        let (session, set) = (events[1].id, events[2].id);
        let unknown = mara.id();
        let heavy =
            mara.event(3, What::Set(setwright_model::ledger::SetLogged { session, done: done(601.0, 8) }));
        let void = mara.void(9, set);
        for (event, field) in [
            (mara.set(3, unknown, 60.0), "session"),
            (mara.set(3, set, 60.0), "session"),
            (bram.set(3, session, 60.0), "session"),
            (mara.correct(4, session, 60.0), "set"),
            (bram.void(4, set), "event"),
            (mara.void(4, unknown), "event"),
            (heavy, "load"),
        ] {
            rejected(&store.append(&[event]).unwrap()[0], field);
        }
        let again = mara.void(10, void.id);
        let fine = mara.set(5, session, 62.5);
        let answers = store.append(&[void, again, fine.clone()]).unwrap();
        assert_eq!((&answers[0], &answers[2]), (&Receipt::Created, &Receipt::Created));
        rejected(&answers[1], "event");
        let sets = store.sets(mara.client).unwrap();
        assert_eq!(sets.iter().map(|s| s.id).collect::<Vec<_>>(), [fine.id]);
    });
}

#[test]
fn together_or_not_at_all() {
    tell(|store| {
        let mut pen = Pen::new(1);
        let mut events = pen.client_with_sets("Mara", 1_234);
        let last = pen.set(9_999, events[1].id, -1.0);
        let mut with_a_fault = events.clone();
        with_a_fault.push(last);
        let outcome = store.append_all(&mut with_a_fault.into_iter()).unwrap();
        assert_eq!((outcome.refused.len(), outcome.refused[0].index), (1, 1_236));
        assert!(store.clients().unwrap().is_empty(), "nothing was written");
        let outcome = store.append_all(&mut events.clone().into_iter()).unwrap();
        assert_eq!((outcome.created, outcome.exists, outcome.refused.len()), (1_236, 0, 0));
        events.push(pen.set(9_999, events[1].id, 61.0));
        let outcome = store.append_all(&mut events.into_iter()).unwrap();
        assert_eq!((outcome.created, outcome.exists), (1, 1_236));
        assert_eq!(store.sets(pen.client).unwrap().len(), 1_235);
    });
}

#[test]
fn what_was_read_before_something_newer_is_not_written() {
    tell(|store| {
        let mut mara = Pen::new(1);
        let mut bram = Pen::new(2);
        created(store, &mara.client_with_sets("Mara", 2));
        let place =
            store.events(EventFilter { client: Some(mara.client) }, 0, 9).unwrap().last().unwrap().seq;
        created(store, &bram.client_with_sets("Bram", 2));
        let brief = |pen: &mut Pen, store: &mut dyn Store| {
            let event = pen.brief(9, "Mara");
            store.append_all_unless_after(event.client, place, &mut std::iter::once(event)).unwrap()
        };
        let taken = brief(&mut mara, store).expect("what came of somebody else does not matter");
        assert_eq!(taken.created, 1);
        let before = store.fingerprint().unwrap();
        assert_eq!(brief(&mut mara, store), None, "the first brief came between");
        assert_eq!(store.fingerprint().unwrap(), before, "nothing was written");
    });
}

#[test]
fn a_rehearsal_says_what_would_become_of_events_and_writes_nothing() {
    tell(|store| {
        let mut pen = Pen::new(1);
        let events = pen.client_with_sets("Mara", 600);
        let outcome = store.rehearse(&mut events.clone().into_iter()).unwrap();
        assert_eq!((outcome.created, outcome.refused.len()), (602, 0));
        assert!(store.clients().unwrap().is_empty());
        assert!(store.there(&[events[0].id]).unwrap().is_empty());
        created(store, &events[..601]);
        let ids: Vec<_> = events.iter().map(|e| e.id).collect();
        assert_eq!(store.there(&ids).unwrap().len(), 601);
        let void = pen.void(9_999, ids[5]);
        created(store, &[void]);
        assert!(store.there(&ids[5..6]).unwrap().contains(&ids[5]), "voided, and there");
    });
}

#[test]
fn a_correction_stands_until_it_is_voided_and_the_first_entry_is_never_lost() {
    tell(|store| {
        let mut pen = Pen::new(1);
        let events = pen.client_with_sets("Mara", 1);
        created(store, &events);
        let set = events[2].id;
        let (first, second) = (pen.correct(50, set, 62.5), pen.correct(60, set, 65.0));
        // They arrive in the wrong order.
        created(store, &[second.clone(), first.clone()]);
        let kg = |store: &mut dyn Store| {
            let set = store.sets(pen.client).unwrap().remove(0);
            (set.done.load.unwrap().kg.get(), set.corrected)
        };
        assert_eq!(kg(store), (65.0, Some(second.id)));
        let mut again = Pen::new(3);
        again.client = pen.client;
        created(store, &[again.void(70, second.id)]);
        assert_eq!(kg(store), (62.5, Some(first.id)));
        created(store, &[again.void(71, first.id)]);
        assert_eq!(kg(store), (60.0, None));
        created(store, &[again.void(72, set)]);
        assert!(store.sets(pen.client).unwrap().is_empty());
        assert_eq!(store.event(set).unwrap(), Some(events[2].clone()));
    });
}

#[test]
fn the_brief_in_force_is_the_latest_that_stands_whatever_arrived_last() {
    tell(|store| {
        let mut pen = Pen::new(1);
        created(store, &[pen.card("Mara")]);
        assert_eq!(store.brief(pen.client).unwrap(), None);
        let (old, new) = (pen.brief(10, "old"), pen.brief(20, "new"));
        created(store, &[new.clone(), old.clone()]);
        let in_force = |store: &mut dyn Store| store.brief(pen.client).unwrap().map(|b| b.brief.name);
        assert_eq!(in_force(store).as_deref(), Some("new"));
        let mut again = Pen::new(3);
        again.client = pen.client;
        created(store, &[again.void(30, new.id)]);
        assert_eq!(in_force(store).as_deref(), Some("old"));
        created(store, &[again.void(31, old.id)]);
        assert_eq!(in_force(store), None);
    });
}

#[test]
fn clients_are_listed_by_name_and_a_card_can_change() {
    tell(|store| {
        let (mut mara, mut bram) = (Pen::new(1), Pen::new(2));
        created(store, &[mara.card("mara"), bram.card("Bram")]);
        let names = |store: &mut dyn Store| -> Vec<String> {
            store.clients().unwrap().into_iter().map(|c| c.card.name).collect()
        };
        assert_eq!(names(store), ["Bram", "mara"]);
        let mut renamed = mara.card("Aline");
        renamed.at = Pen::at(5);
        created(store, &[renamed]);
        assert_eq!(names(store), ["Aline", "Bram"]);
        let aline = store.clients().unwrap().remove(0);
        assert_eq!((aline.client, aline.added), (mara.client, Pen::at(0)));
    });
}

#[test]
fn everything_that_is_logged_can_be_read_back_by_time() {
    tell(|store| {
        let mut pen = Pen::new(1);
        created(store, &[pen.card("Mara")]);
        let session = pen.session(100);
        let sore = |level| What::Soreness(Soreness { muscle: Muscle::Quads, level });
        let mass = What::BodyMass(BodyMass { mass: Load::new(154.0, MassUnit::Lb) });
        let note = What::Note(Note { text: "slept badly".to_owned(), about: Some(session.id) });
        let end =
            What::SessionFinished(SessionFinished { session: session.id, effort: Some(7), early: false });
        let ill = Spell { kind: SpellKind::Illness, days: 3 };
        let events = [
            pen.event(97, What::Spell(ill)),
            session.clone(),
            pen.event(160, end),
            pen.event(300, sore(2)),
            pen.event(200, sore(6)),
            pen.event(90, mass),
            pen.event(95, note),
        ];
        created(store, &events);
        let levels: Vec<u32> = store.soreness(pen.client).unwrap().iter().map(|s| s.level).collect();
        assert_eq!(levels, [6, 2]);
        let weighed = store.body_mass(pen.client).unwrap().remove(0).mass;
        assert_eq!((weighed.value, weighed.unit), (154.0, MassUnit::Lb));
        assert_eq!(store.notes(pen.client).unwrap()[0].about, Some(session.id));
        let spell = store.spells(pen.client).unwrap().remove(0);
        assert_eq!((spell.at, spell.spell), (Pen::at(97), ill));
        let kept = store.sessions(pen.client).unwrap().remove(0);
        assert_eq!((kept.at, kept.finished, kept.effort), (Pen::at(100), Some(Pen::at(160)), Some(7)));
        let everyone = store.standing(StateKind::Soreness, None).unwrap();
        assert!(matches!(everyone[..], [State::Soreness(_), State::Soreness(_)]));
    });
}

#[test]
fn a_session_that_ended_early_does_not_count_until_it_is_taken_up_again_and_ends() {
    tell(|store| {
        let mut pen = Pen::new(1);
        created(store, &[pen.card("Mara")]);
        let session = pen.session(100);
        let end = |early| What::SessionFinished(SessionFinished { session: session.id, effort: None, early });
        let early = pen.event(150, end(true));
        created(store, &[session.clone(), early]);
        let client = pen.client;
        let kept = |store: &mut dyn Store| {
            let kept = store.sessions(client).unwrap().remove(0);
            (kept.finished, kept.counts())
        };
        assert_eq!(kept(store), (Some(Pen::at(150)), false));
        created(store, &[pen.event(160, What::SessionResumed(SessionResumed { session: session.id }))]);
        assert_eq!(kept(store), (None, true));
        created(store, &[pen.event(190, end(false))]);
        assert_eq!(kept(store), (Some(Pen::at(190)), true));
    });
}

#[test]
fn a_report_of_pain_stands_open_until_it_is_answered_and_the_answer_says_by_whom() {
    tell(|store| {
        let mut pen = Pen::new(1);
        created(store, &[pen.card("Mara")]);
        let report = PainReported {
            place: BodyPart::Knee,
            side: Some(BodySide::Left),
            exercise: Some("back_squat".into()),
            session: None,
            words: "sharp".to_owned(),
        };
        let pain = pen.event(100, What::Pain(report.clone()));
        created(store, std::slice::from_ref(&pain));
        let kept = store.pains(pen.client).unwrap().remove(0);
        assert_eq!((kept.id, kept.at, &kept.report, kept.answer), (pain.id, Pen::at(100), &report, None));
        let says = |reply| What::PainAnswered(PainAnswered { report: pain.id, reply });
        let mut out = pen.event(200, says(PainReply::LeaveOut));
        out.actor.name = "Berit".to_owned();
        let mut again = pen.event(300, says(PainReply::TrainAgain));
        again.actor.name = "Jo".to_owned();
        created(store, &[again, out]);
        let answer = store.pains(pen.client).unwrap().remove(0).answer.unwrap();
        assert_eq!(
            (answer.by.name.as_str(), answer.reply),
            ("Jo", PainReply::TrainAgain),
            "the last by time"
        );
        let nothing = PainAnswered { report: pen.id(), reply: PainReply::LeaveOut };
        let of_nothing = pen.event(310, What::PainAnswered(nothing));
        assert!(matches!(store.append(&[of_nothing]).unwrap()[..], [Receipt::Rejected(_)]));
    });
}

#[test]
fn what_was_written_in_one_go_is_undone_in_one_go_and_then_what_came_before() {
    tell(|store| {
        let mut pen = Pen::new(1);
        let card = pen.card("Mara");
        let (one, two) = (pen.id(), pen.id());
        let session = Event { batch: Some(one), ..pen.session(1) };
        let mut events = vec![card.clone(), session.clone()];
        for i in 0..3 {
            events.push(Event { batch: Some(one), ..pen.set(2 + i, session.id, 60.0) });
        }
        events.push(Event { batch: Some(two), ..pen.set(9, session.id, 70.0) });
        created(store, &events);
        let mut undo = |store: &mut dyn Store| -> usize {
            let batch = store.last_batch(EventFilter { client: Some(pen.client) }).unwrap();
            let voids: Vec<Event> = batch.iter().map(|e| pen.void(50, e.id)).collect();
            created(store, &voids);
            batch.len()
        };
        assert_eq!(undo(store), 1);
        assert_eq!(undo(store), 4);
        assert_eq!(undo(store), 1, "the card itself");
        assert_eq!(undo(store), 0);
        assert!(store.clients().unwrap().is_empty());
        assert_eq!(
            store.events(EventFilter::default(), 0, 100).unwrap().len(),
            12,
            "and nothing was taken away"
        );
    });
}

#[test]
fn events_are_read_in_the_order_of_arrival_in_pages_both_ways() {
    tell(|store| {
        let (mut mara, mut bram) = (Pen::new(1), Pen::new(2));
        let (a, b) = (mara.client_with_sets("Mara", 20), bram.client_with_sets("Bram", 20));
        for (x, y) in a.iter().zip(&b) {
            created(store, &[x.clone(), y.clone()]);
        }
        let hers = EventFilter { client: Some(mara.client) };
        let (mut read, mut after) = (Vec::new(), 0);
        loop {
            let page = store.events(hers, after, 7).unwrap();
            let Some(last) = page.last() else { break };
            after = last.seq;
            read.extend(page.into_iter().map(|k| k.event));
        }
        assert_eq!(read, a);
        let back = store.events_back(hers, None, 100).unwrap();
        assert_eq!(back.into_iter().rev().map(|k| k.event).collect::<Vec<_>>(), a);
    });
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// However events are dealt out and in whatever legal order they arrive, the same stands in the end.
    #[test]
    fn the_order_of_arrival_decides_nothing(deal in proptest::collection::vec(0_usize..1_000, 40), size in 1_usize..9) {
        let mut pen = Pen::new(1);
        let events = pen.client_with_sets("Mara", 6);
        let mut later: Vec<Event> = Vec::new();
        for i in 0..6 {
            let set = events[2 + i].id;
            later.push(pen.correct(50 + i as i64 % 2, set, 70.0));
            later.push(pen.correct(50, set, 71.0));
            later.push(pen.brief(60 + i as i64 / 2, &format!("b{i}")));
        }
        let voids: Vec<Event> = [0, 1, 2, 5, 8].iter().map(|&i| pen.void(70, later[i].id)).collect();
        let mut shuffled = later.clone();
        for (i, pick) in deal.iter().enumerate().take(shuffled.len()) {
            shuffled.swap(i, pick % later.len());
        }
        let mut prints = Vec::new();
        for (order, size) in [(later, 1_000), (shuffled, size)] {
            tell(|store| {
                for chunk in [&events[..], &order[..], &voids[..]].concat().chunks(size) {
                    created(store, chunk);
                }
                assert_eq!(store.sets(pen.client).unwrap().len(), 6);
            });
            let folder = tempdir().unwrap();
            let mut store = SqliteStore::open(&folder.path().join("l"), Opening::Create).unwrap();
            for chunk in [&events[..], &order[..], &voids[..]].concat().chunks(size) {
                created(&mut store, chunk);
            }
            prints.push(store.fingerprint().unwrap());
        }
        prop_assert_eq!(prints[0], prints[1]);
    }
}
