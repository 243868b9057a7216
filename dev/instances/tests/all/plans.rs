//! Briefs of every kind: the check finds no error in what the planner writes for them. More of them:
//! `SETWRIGHT_PLANS=2000 cargo test -p setwright-instances plans -- --nocapture`.

use crate::moves;
use setwright_check::audit;
use setwright_formulate::frame::frames;
use setwright_instances::generator::{Instance, varied};
use setwright_model::{Programme, Severity};
use setwright_optimise::bounds::{BoundEffort, press};
use setwright_optimise::conflict::is_disproven;
use setwright_optimise::realise;
use setwright_optimise::search::search;
use setwright_optimise::solve::close;
use std::collections::BTreeMap;
use std::time::Instant;

/// Plans without the environment's wish.
const USUAL: u64 = 60;
/// Moves of each.
const MOVES: u64 = 30_000;
/// Every so many of the planned are bounded too, with this effort.
const BOUNDED: u64 = 8;
const EFFORT: BoundEffort = BoundEffort { rounds: 60, gap: 0.0 };

/// What came of the briefs of one share of the seeds.
#[derive(Default)]
struct Tally {
    planned: u64,
    ruled_out: u64,
    not_found: u64,
    certified: u64,
    /// Errors of the check and bounds under values, with the seed.
    wrong: Vec<String>,
    /// Warnings by code.
    warnings: BTreeMap<&'static str, u64>,
}

impl Tally {
    fn one(&mut self, seed: u64) {
        let instance = varied(seed);
        let problem = instance.problem();
        let frames = frames(&problem);
        let mut searched = search(&problem, &frames, &moves(MOVES, seed), &mut |_| {});
        close(&problem, &frames, &mut searched);
        let kept = searched.best.filter(|b| b.found.short == 0 && problem.broken_locks.is_empty());
        let Some(best) = kept else {
            let disproven = is_disproven(&problem);
            self.ruled_out += u64::from(disproven);
            self.not_found += u64::from(!disproven);
            return;
        };
        self.planned += 1;
        let frame = &frames[best.frame];
        self.judge(&instance, &realise::programme(&problem, frame, &best.found.plan, &instance.belief));
        if self.planned % BOUNDED == 1 {
            let bound = press(&problem, &frames, &best, &moves(MOVES, seed), EFFORT, &mut |_| {}).bound;
            if bound < best.found.value {
                self.wrong.push(format!("seed {seed}: bound {bound} under value {}", best.found.value));
            }
        }
    }

    fn judge(&mut self, instance: &Instance, programme: &Programme) {
        let report = audit(programme, Some(&instance.brief), &instance.catalogue, &instance.belief);
        let before = self.wrong.len();
        for finding in &report.findings {
            match finding.severity {
                Severity::Error => self.wrong.push(format!(
                    "{}: {} {}: {:?}",
                    instance.name, finding.code, finding.subject, finding.cause
                )),
                Severity::Warning => *self.warnings.entry(finding.code).or_default() += 1,
                Severity::Note => {}
            }
        }
        self.certified += u64::from(self.wrong.len() == before);
    }
}

fn no_plan_breaks_a_rule(part: u64) {
    let wanted = std::env::var("SETWRIGHT_PLANS").ok().and_then(|n| n.parse().ok()).unwrap_or(USUAL);
    let begun = Instant::now();
    let mut tally = Tally::default();
    for seed in (part..wanted).step_by(2) {
        tally.one(seed);
    }
    println!(
        "seeds {part}, {} ..: {} planned, {} of them certified, {} ruled out, {} neither; {} s; warnings {:?}",
        part + 2,
        tally.planned,
        tally.certified,
        tally.ruled_out,
        tally.not_found,
        begun.elapsed().as_secs(),
        tally.warnings
    );
    assert!(tally.wrong.is_empty(), "{} are wrong:\n{}", tally.wrong.len(), tally.wrong.join("\n"));
    assert!(4 * tally.planned >= wanted, "only {} of {} could be planned", tally.planned, wanted / 2);
}

#[test]
fn no_plan_of_an_even_seed_breaks_a_rule() {
    no_plan_breaks_a_rule(0);
}

#[test]
fn no_plan_of_an_odd_seed_breaks_a_rule() {
    no_plan_breaks_a_rule(1);
}
