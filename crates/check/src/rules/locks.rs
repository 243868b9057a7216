//! What the coach has fixed is kept (SW150).

use crate::scene::{At, Findings, Item, Scene, Stage};
use crate::words::count;
use setwright_model::brief::Lock;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    let Some(brief) = scene.brief else { return };
    for lock in &brief.locks {
        keep(scene, lock, out);
    }
}

/// A lock is kept when any one use of its exercise where it may be keeps all of it.
fn keep(scene: &Scene<'_>, lock: &Lock, out: &mut Findings) {
    let name = scene.name(&lock.exercise);
    let uses: Vec<(&Stage<'_>, &Item<'_>)> = scene
        .stages
        .iter()
        .flat_map(|s| s.items.iter().map(move |i| (s, i)))
        .filter(|(_, i)| i.exercise.id == lock.exercise)
        .collect();
    let here: Vec<_> = uses.iter().filter(|(s, _)| in_session(lock, s.rank)).collect();
    if here.is_empty() {
        missing(&name, lock, !uses.is_empty(), out);
    } else if !here.iter().any(|(s, i)| broken(scene, lock, s, i).is_none())
        && let Some((stage, item)) = here.first()
        && let Some((cause, hint)) = broken(scene, lock, stage, item)
    {
        out.error(At::Exercise(stage.rank, item.block, item.lane), "SW150", cause, hint);
    }
}

fn in_session(lock: &Lock, rank: usize) -> bool {
    lock.session.is_none_or(|s| s as usize == rank + 1)
}

fn missing(name: &str, lock: &Lock, elsewhere: bool, out: &mut Findings) {
    let place = lock.session.map_or_else(|| "the programme".to_owned(), |s| format!("session {s}"));
    let cause = if elsewhere {
        format!("{name} is fixed in {place} and stands in another session.")
    } else {
        format!("{name} is fixed in {place} and is not there.")
    };
    out.error(At::Programme, "SW150", cause, format!("Put {name} into {place}, or take the lock out."));
}

fn broken(scene: &Scene<'_>, lock: &Lock, stage: &Stage<'_>, item: &Item<'_>) -> Option<(String, String)> {
    let have = item.prescription.sets;
    if let Some(sets) = lock.sets.filter(|s| *s != have) {
        let cause = format!("It is fixed at {} and has {have}.", count(sets, "set"));
        return Some((cause, format!("Give it {}.", count(sets, "set"))));
    }
    let with = lock.with.as_ref()?;
    let beside = stage.of_block(item.block).iter().any(|i| i.lane != item.lane && i.exercise.id == *with);
    if beside {
        return None;
    }
    let partner = scene.name(with);
    Some((format!("It is fixed to alternate with {partner}."), format!("Put {partner} into its block.")))
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, ERROR, NONE, curl, pair, press, row, sets, squat, straight};
    use setwright_model::BlockKind::Alternating;

    fn case() -> Case {
        let pair = pair(Alternating, sets("press", 3), sets("row", 3));
        Case::new([press(), row(), squat(), curl()]).day(1, [pair]).day(4, [straight(sets("squat", 4))])
    }

    #[test]
    fn a_locked_exercise_is_there() {
        assert_eq!(case().lock("press", |_| {}).said("SW150"), NONE);
        assert_eq!(case().lock("curl", |_| {}).said("SW150"), ERROR);
    }

    #[test]
    fn a_locked_exercise_is_in_its_session() {
        assert_eq!(case().lock("squat", |l| l.session = Some(2)).said("SW150"), NONE);
        assert_eq!(case().lock("squat", |l| l.session = Some(1)).said("SW150"), ERROR);
    }

    #[test]
    fn locked_sets_are_kept() {
        assert_eq!(case().lock("squat", |l| l.sets = Some(4)).said("SW150"), NONE);
        assert_eq!(case().lock("squat", |l| l.sets = Some(3)).said("SW150"), ERROR);
    }

    #[test]
    fn a_locked_partner_is_in_the_block() {
        assert_eq!(case().lock("press", |l| l.with = Some("row".into())).said("SW150"), NONE);
        assert_eq!(case().lock("press", |l| l.with = Some("squat".into())).said("SW150"), ERROR);
    }

    #[test]
    fn a_lock_without_a_session_is_kept_by_any_use() {
        let twice = case().day(6, [straight(sets("squat", 2))]);
        assert_eq!(twice.clone().lock("squat", |l| l.sets = Some(2)).said("SW150"), NONE);
        assert_eq!(twice.lock("squat", |l| l.sets = Some(5)).said("SW150"), ERROR);
    }
}
