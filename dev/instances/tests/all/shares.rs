//! What the bound averages: of exercises of which one may be taken, never more than one is; and no search finds more than it.

use crate::moves;
use setwright_formulate::frame::frames;
use setwright_instances::generator::{Size, sized};
use setwright_optimise::bounds::{BoundEffort, press};
use setwright_optimise::dual::{Dual, Prices, SessionLayouts, Workspace};
use setwright_optimise::part::{Part, PartKnown};
use setwright_optimise::search::search;

#[test]
fn an_average_never_takes_more_than_one_of_those_that_exclude_each_other() {
    for seed in 0..3 {
        let problem = sized(Size::Small, seed).problem();
        let frames = frames(&problem);
        let plots = SessionLayouts::by_time(&problem, &frames[..1]);
        let dual = Dual::new(&problem, &frames[0], &plots);
        let mut part = Part::whole(0, &dual, Prices::zero(&problem), 0);
        let mut desk = Workspace::default();
        // Rules of pairing are added at each of these.
        for _ in 0..12 {
            part.press(&dual, PartKnown { value: 0, over: &|| false }, &mut desk);
            for layout in dual.layouts() {
                let average = part.average(layout.session, layout.shape.offers.len());
                for group in &layout.shape.groups {
                    let share: f64 = average[group.clone()].iter().sum();
                    assert!(share < 1.0 + 1e-6, "seed {seed}, session {}: {share}", layout.session);
                }
            }
        }
    }
}

#[test]
fn no_search_finds_more_than_the_bound() {
    for instance in [0, 1, 2].map(|seed| sized(Size::Small, seed)) {
        let problem = instance.problem();
        let frames = frames(&problem);
        let found = |seed| search(&problem, &frames, &moves(60_000, seed), &mut |_| {}).best;
        let best: Vec<_> = (1..=8).filter_map(found).filter(|b| b.found.short == 0).collect();
        let most = best.iter().map(|b| b.found.value).max().unwrap_or(i64::MIN);
        let effort = BoundEffort { rounds: 400, gap: 0.0 };
        let pressed = press(&problem, &frames, &best[0], &moves(0, 1), effort, &mut |_| {});
        assert!(pressed.bound >= most, "{}: {} {most}", instance.name, pressed.bound);
    }
}
