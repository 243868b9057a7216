//! Whether the two stations of a block can be held together (SW124). Whether they are there at all is judged
//! in `allowed`.

use crate::scene::{At, Findings, Scene};
use crate::words::list;
use setwright_model::station::{Area, Station};
use setwright_model::{Exercise, Severity};
use std::collections::BTreeSet;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    let busy = scene.brief.is_some_and(|b| b.time.busy);
    for stage in &scene.stages {
        for block in 0..stage.session.blocks.len() {
            let [a, b] = stage.of_block(block)[..] else { continue };
            // What is done once is left before the next begins.
            if a.sets().max(b.sets()) <= 1 {
                continue;
            }
            if let Some((severity, cause)) = clash(a.exercise, b.exercise, busy) {
                let locked = scene.locks_pair(stage.rank, &a.exercise.id, &b.exercise.id);
                let severity = if locked { severity.min(Severity::Warning) } else { severity };
                let hint =
                    "Do them in two straight blocks, or choose a partner that needs no second station.";
                out.add(At::Block(stage.rank, block), severity, "SW124", cause, hint);
            }
        }
    }
}

/// Why two exercises cannot share a block, if they cannot. In busy hours it is refused, for somebody else will have
/// taken the other place; in a quiet room it is a walk, which the clock counts, and is noted.
fn clash(a: &Exercise, b: &Exercise, busy: bool) -> Option<(Severity, String)> {
    let (of_a, of_b) = (set(a), set(b));
    if of_a == of_b {
        return None;
    }
    let both: BTreeSet<Station> = of_a.union(&of_b).copied().collect();
    let (fixed_a, fixed_b) = (fixed(&of_a), fixed(&of_b));
    if busy && !fixed_a.is_empty() && !fixed_b.is_empty() && fixed_a != fixed_b {
        return Some((Severity::Error, format!("{} and {} hold two places in a busy gym.", a.name, b.name)));
    }
    let big: Vec<String> = both.iter().filter(|s| s.is_big()).map(|s| s.name().to_owned()).collect();
    if big.len() > 1 {
        return Some((Severity::Note, format!("The {} are both in demand; hold one.", list(&big))));
    }
    let areas: BTreeSet<Area> = both.iter().map(|s| s.area()).filter(|a| *a != Area::Anywhere).collect();
    let apart = || format!("{} and {} are in different parts of the room.", a.name, b.name);
    (areas.len() > 1).then(|| (Severity::Note, apart()))
}

fn set(exercise: &Exercise) -> BTreeSet<Station> {
    exercise.stations.iter().copied().collect()
}

fn fixed(stations: &BTreeSet<Station>) -> BTreeSet<Station> {
    stations.iter().copied().filter(|s| s.area() != Area::Anywhere).collect()
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, ERROR, NONE, NOTE, WARNING, pair, press, row, sets, with};
    use setwright_model::BlockKind::Alternating;
    use setwright_model::station::Station::{
        self, Bench, Cable, Dumbbells, Floor, PullUpBar, Rack, RowSeat, StraightBar,
    };

    fn at(a: &[Station], b: &[Station]) -> Case {
        let (a, b) = (with(press(), |e| e.stations = a.to_vec()), with(row(), |e| e.stations = b.to_vec()));
        Case::new([a, b]).day(1, [pair(Alternating, sets("press", 3), sets("row", 3))])
    }

    #[test]
    fn two_stations_in_demand_are_noted_and_refused_in_busy_hours() {
        use Station::{BenchPressStation, Platform};
        assert_eq!(at(&[Rack], &[PullUpBar]).said("SW124"), NONE);
        assert_eq!(at(&[BenchPressStation], &[Platform]).said("SW124"), NOTE);
        let busy = at(&[BenchPressStation], &[Platform]).brief(|b| b.time.busy = true);
        assert_eq!(busy.said("SW124"), ERROR);
        assert_eq!(at(&[Rack], &[Rack, Bench]).said("SW124"), NONE, "the same rack is one rack");
    }

    #[test]
    fn a_walk_between_parts_of_a_quiet_room_is_noted() {
        assert_eq!(at(&[Bench], &[StraightBar]).said("SW124"), NONE);
        assert_eq!(at(&[Bench], &[Cable]).said("SW124"), NOTE);
        assert_eq!(at(&[Dumbbells], &[Cable]).said("SW124"), NONE, "dumbbells go anywhere");
    }

    #[test]
    fn the_same_stations_are_one_place() {
        assert_eq!(at(&[Bench, Cable], &[Cable, Bench]).said("SW124"), NONE);
        assert_eq!(at(&[RowSeat], &[RowSeat]).said("SW124"), NONE);
    }

    #[test]
    fn in_a_busy_gym_a_block_holds_one_place() {
        let busy = |a: &[Station], b: &[Station]| at(a, b).brief(|b| b.time.busy = true).said("SW124");
        assert_eq!(busy(&[Bench], &[PullUpBar]), ERROR);
        assert_eq!(busy(&[Bench, Dumbbells], &[Floor]), NONE);
        assert_eq!(busy(&[Bench, Dumbbells], &[Bench]), NONE, "the same bench");
        assert_eq!(at(&[Bench], &[PullUpBar]).said("SW124"), NONE, "fine in a quiet gym");
    }

    #[test]
    fn the_coachs_own_pair_is_only_pointed_out() {
        let case = at(&[Bench], &[Cable])
            .brief(|b| b.time.busy = true)
            .lock("press", |l| l.with = Some("row".into()));
        assert_eq!(case.said("SW124"), WARNING);
    }
}
