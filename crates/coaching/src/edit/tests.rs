//! What changes do, one kind after another, on a programme of the demo.

use super::*;
use crate::demo;
use crate::insight::{self, BeliefStart, Known};
use crate::ledger::{UnitOfWork, clients};
use crate::machine::Machine;
use crate::plan::{self, Objective, Search};
use crate::publish;
use setwright_gym::catalogue::builtin;
use setwright_model::{Programme, Seconds};
use setwright_store::Opening;
use std::sync::LazyLock;

/// A client of the demo with a programme in force.
static KNOWN: LazyLock<Known> = LazyLock::new(|| {
    let folder = tempfile::TempDir::new().unwrap();
    let machine = Machine::stopped("2026-11-27T09:00:00+01:00".parse().unwrap(), 1);
    let mut uow = UnitOfWork::open(&folder.path().join("ledger.sqlite3"), Opening::Create, &machine).unwrap();
    let brief = demo::roster(None).unwrap().into_iter().nth(1).unwrap();
    clients::add(&mut uow, &brief.name, "", Some(brief.clone())).unwrap();
    let search = Search { mode: Objective::Benefit, seed: 1, moves: 60_000, limit: Seconds(120.0) };
    let planned = plan::plan(&brief, None, builtin(), search, &uow.wall.stopwatch(), &mut |_| {}).unwrap();
    let known = insight::known(&mut uow, &brief.name, BeliefStart::Population, builtin()).unwrap();
    publish::planned(&mut uow, &known, &known.current, (&brief, &planned), builtin()).unwrap();
    insight::known(&mut uow, &brief.name, BeliefStart::Population, builtin()).unwrap()
});

fn ground() -> Ground<'static> {
    Ground::of(&KNOWN, builtin()).unwrap()
}

fn with(text: &str) -> Programme {
    draft(&ground(), &edits(text).unwrap()).unwrap_or_else(|p| panic!("{text}: {}", p.what)).programme
}

fn refused(text: &str) -> bool {
    draft(&ground(), &edits(text).unwrap()).is_err()
}

fn ids(programme: &Programme, session: usize) -> Vec<String> {
    programme.sessions[session].prescriptions().map(|p| p.id.to_string()).collect()
}

#[test]
fn the_text_of_changes_reads_back_as_they_were() {
    let text = "sets.0.1.0.3~rest.0.1.75~move.0.1.1.0~day.0.2~swap.0.0.1.leg_press~join.0.2.3~part.0.1~remove.1.0.0~add.2.plank~lock.0.0.0~free.0.0.0";
    assert_eq!(super::text(&edits(text).unwrap()), text);
    for wrong in [
        "sets.0.1.0",
        "sets.0.1.x.3",
        "jump.1",
        "swap.0.0.1.",
        "move.1",
        "day.0.-1",
        "..",
        "sets.0.1.0.99999999999999999999",
    ] {
        assert!(edits(wrong).is_err(), "{wrong}");
    }
    assert!(edits(&vec!["part.0.0"; EDITS_MAX + 1].join("~")).is_err());
    assert!(edits(&vec!["part.0.0"; EDITS_MAX].join("~")).is_ok());
}

#[test]
fn sets_and_rest_are_changed_and_nothing_else() {
    let (was, is) = (ground().programme.clone(), with("sets.0.0.0.4~rest.0.0.105"));
    let mut same = is.clone();
    same.sessions[0].blocks[0].exercises[0].sets = was.sessions[0].blocks[0].exercises[0].sets;
    same.sessions[0].blocks[0].rest_s = was.sessions[0].blocks[0].rest_s;
    assert_eq!(same, was);
    assert_eq!(is.sessions[0].blocks[0].exercises[0].sets, 4);
    assert_eq!(is.sessions[0].blocks[0].rest_s, Seconds(105.0));
    assert!(refused("sets.0.0.0.0") && refused("sets.0.0.0.31") && refused("sets.9.0.0.2"));
    assert!(refused("rest.0.0.1801") && !refused("rest.0.0.1800"));
}

#[test]
fn a_block_moves_before_the_one_that_is_there() {
    let was = ground().programme.clone();
    let first: Vec<String> = was.sessions[0].blocks[0].exercises.iter().map(|p| p.id.to_string()).collect();
    let later = with("move.0.0.0.2");
    assert_eq!(later.sessions[0].blocks[1].exercises[0].id.to_string(), first[0]);
    assert_eq!(with("move.0.0.0.2~move.0.1.0.0").sessions[0].blocks.len(), was.sessions[0].blocks.len());
    assert_eq!(ids(&with("move.0.0.0.2~move.0.1.0.0"), 0), ids(&was, 0), "there and back");
    let end = was.sessions[0].blocks.len();
    assert_eq!(
        with(&format!("move.0.0.0.{end}")).sessions[0].blocks[end - 1].exercises[0].id.to_string(),
        first[0]
    );
    assert!(refused(&format!("move.0.0.0.{}", end + 1)));
}

#[test]
fn what_was_parted_can_be_joined_again() {
    let was = ground().programme.clone();
    let pair = was.sessions[0].blocks.iter().position(|b| b.exercises.len() == 2).unwrap();
    let parted = with(&format!("part.0.{pair}"));
    assert_eq!(parted.sessions[0].blocks.len(), was.sessions[0].blocks.len() + 1);
    assert!(parted.sessions[0].blocks[pair].kind == setwright_model::BlockKind::Straight);
    let joined = with(&format!("part.0.{pair}~join.0.{pair}.{}", pair + 1));
    assert_eq!(ids(&joined, 0), ids(&was, 0));
    assert_eq!(joined.sessions[0].blocks[pair].kind, was.sessions[0].blocks[pair].kind);
    assert!(refused(&format!("join.0.{pair}.{pair}")));
}

#[test]
fn an_exercise_that_comes_has_a_load_and_a_warm_up_and_comes_once() {
    let ground = ground();
    let draft = draft(&ground, &[]).unwrap();
    let place = Slot { session: 0, block: 0, lane: 0 };
    let near = neighbours(&ground, &draft, place);
    assert!(!near.is_empty());
    let id = near[0].exercise.id.clone();
    let swapped = with(&format!("swap.0.0.0.{id}"));
    let came = &swapped.sessions[0].blocks[0].exercises[0];
    assert_eq!(came.id, id);
    assert_eq!(came.sets, ground.programme.sessions[0].blocks[0].exercises[0].sets);
    assert!(refused(&format!("swap.0.0.0.{id}~add.0.{id}")), "twice in one session");
    assert!(refused("add.0.no_such_exercise"));
    let press = builtin().get(&"bench_press".into()).unwrap();
    if !ids(ground.programme, 0).contains(&"bench_press".to_owned()) {
        let added = with("add.0.bench_press");
        let last = added.sessions[0].blocks.last().unwrap();
        assert_eq!(last.exercises[0].id, press.id);
    }
}

#[test]
fn a_session_on_another_day_takes_its_locks_with_it() {
    let ground = ground();
    let free = (1..=ground.programme.cycle_days)
        .rev()
        .find(|d| ground.programme.sessions.iter().all(|s| s.day != *d))
        .unwrap();
    assert!(free > ground.programme.sessions.last().unwrap().day, "the last day of the cycle is free");
    let moved = draft(&ground, &edits(&format!("lock.0.0.0~day.0.{free}")).unwrap()).unwrap();
    let last = moved.programme.sessions.len() - 1;
    assert_eq!(moved.programme.sessions[last].day, free);
    assert_eq!(moved.locks.last().unwrap().session, Some(last as u32 + 1));
    let id = ground.programme.sessions[0].blocks[0].exercises[0].id.clone();
    assert!(moved.is_locked(last, &id));
    let taken = ground.programme.sessions[1].day;
    assert!(refused(&format!("day.0.{taken}")) && refused("day.0.0") && refused("day.0.99"));
}

#[test]
fn locks_follow_what_is_done_by_hand() {
    let ground = ground();
    let locks = |text: &str| draft(&ground, &edits(text).unwrap()).unwrap().locks;
    let own = ground.brief.locks.len();
    assert_eq!(locks("lock.0.0.0").len(), own + 1);
    assert_eq!(locks("lock.0.0.0~sets.0.0.0.4").last().unwrap().sets, Some(4));
    assert_eq!(locks("lock.0.0.0~free.0.0.0").len(), own);
    assert_eq!(locks("lock.0.0.0~remove.0.0.0").len(), own);
    assert!(refused("lock.0.0.0~lock.0.0.0") && refused("free.0.0.0"));
    let pair = ground.programme.sessions[0].blocks.iter().position(|b| b.exercises.len() == 2).unwrap();
    assert!(locks(&format!("lock.0.{pair}.0")).last().unwrap().with.is_some());
    assert!(locks(&format!("lock.0.{pair}.0~part.0.{pair}")).last().unwrap().with.is_none());
}

#[test]
fn the_last_exercise_of_a_session_stays() {
    let many = ids(ground().programme, 0).len();
    let all = vec!["remove.0.0.0"; many - 1].join("~");
    assert_eq!(ids(&with(&all), 0).len(), 1);
    assert!(refused(&format!("{all}~remove.0.0.0")));
}
