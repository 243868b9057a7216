//! The planner's finder and bound on generated problems, as tab-separated lines; and problems and plans for
//! solvers outside. `bench --help` says how.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a command for developers")]
#![allow(clippy::disallowed_methods, reason = "it measures time")]

use serde_json::{Value, json};
use setwright_formulate::frame::{Frame, frames};
use setwright_formulate::plan::{Plan, orderable, slot_allowed, variety_kept};
use setwright_formulate::problem::Problem;
use setwright_formulate::tables::POINT;
use setwright_instances::exchange;
use setwright_instances::generator::{Cause, Instance, Size, broken, sized, varied};
use setwright_model::answer::gap;
use setwright_optimise::Budget;
use setwright_optimise::bounds::bound_all;
use setwright_optimise::budget::USUAL_MOVES;
use setwright_optimise::found::{Found, Placed, state_of};
use setwright_optimise::search::search;
use setwright_optimise::solve::{Objective, solve};
use std::collections::BTreeMap;
use std::error::Error;
use std::path::{Path, PathBuf};
use std::time::Instant;

const HELP: &str = "\
bench [--sizes small,medium,large] [--instances N] [--seeds N] [--moves A,B,C] [--no-bound]
      [--export DIR]       write each problem, in the frame of the best plan, with that plan, as JSON
bench --answers            what the planner answers for each problem with the usual budget, at each of --seeds, and how long it takes
bench --broken             how long each brief that cannot be met takes to be explained
bench --briefs DIR         write twenty varied briefs as TOML, to be planned and read as a coach would
bench --evaluate FILE...   value plans of solvers outside: JSON lines with instance and plan
";

/// What to do.
struct Options {
    sizes: Vec<Size>,
    instances: u64,
    seeds: u64,
    moves: Vec<u64>,
    bound: bool,
    export: Option<PathBuf>,
    evaluate: Vec<PathBuf>,
    answers: bool,
    broken: bool,
    briefs: Option<PathBuf>,
}

impl Options {
    fn read(mut arguments: impl Iterator<Item = String>) -> Result<Self, Box<dyn Error>> {
        let mut out = Self {
            sizes: Size::ALL.to_vec(),
            instances: 3,
            seeds: 5,
            moves: vec![250_000, 1_000_000, 4_000_000],
            bound: true,
            export: None,
            evaluate: Vec::new(),
            answers: false,
            broken: false,
            briefs: None,
        };
        while let Some(argument) = arguments.next() {
            let mut value = || arguments.next().ok_or(format!("{argument} needs a value"));
            match argument.as_str() {
                "--sizes" => out.sizes = value()?.split(',').map(size).collect::<Result<_, _>>()?,
                "--instances" => out.instances = value()?.parse()?,
                "--seeds" => out.seeds = value()?.parse()?,
                "--moves" => out.moves = value()?.split(',').map(str::parse).collect::<Result<_, _>>()?,
                "--answers" => out.answers = true,
                "--broken" => out.broken = true,
                "--briefs" => out.briefs = Some(value()?.into()),
                "--no-bound" => out.bound = false,
                "--export" => out.export = Some(value()?.into()),
                "--evaluate" => out.evaluate = arguments.by_ref().map(PathBuf::from).collect(),
                _ => return Err(HELP.into()),
            }
        }
        Ok(out)
    }
}

fn size(name: &str) -> Result<Size, String> {
    Size::ALL.into_iter().find(|s| s.name() == name).ok_or(format!("there is no size {name}"))
}

fn main() -> Result<(), Box<dyn Error>> {
    let options = Options::read(std::env::args().skip(1))?;
    if !options.evaluate.is_empty() {
        return options.evaluate.iter().try_for_each(|path| evaluate(path));
    }
    if options.answers {
        answers(&options);
        return Ok(());
    }
    if options.broken {
        explain_broken();
        return Ok(());
    }
    if let Some(folder) = &options.briefs {
        return write_briefs(folder);
    }
    println!("instance\tframes\tseed\tmoves\tvalue\tshort\tseconds\tmoves_per_s");
    for &size in &options.sizes {
        for seed in 0..options.instances {
            bench(&options, size, seed)?;
        }
    }
    Ok(())
}

/// Seeds of each cause, and of the briefs that are read.
const BROKEN_SEEDS: u64 = 5;
const BRIEFS: u64 = 20;

fn explain_broken() {
    println!("instance\tstatus\tlines\tways_out\tseconds");
    for (cause, seed) in Cause::ALL.into_iter().flat_map(|c| (1..=BROKEN_SEEDS).map(move |s| (c, s))) {
        let Instance { name, brief, catalogue, belief, .. } = broken(cause, seed).instance;
        let budget = Budget { moves: USUAL_MOVES, seed: 1, out_of_time: None };
        let start = Instant::now();
        let out = solve(&brief, &catalogue, &belief, Objective::Benefit, &budget, &mut |_| {});
        let seconds = start.elapsed().as_secs_f64();
        let ways = out.conflict.iter().filter(|l| l.starts_with("Way out")).count();
        println!("{name}\t{:?}\t{}\t{ways}\t{seconds:.3}", out.status, out.conflict.len() - ways);
    }
}

/// What the planner answers: all of it, and not one part of the search.
fn answers(options: &Options) {
    println!("instance\tseed\tvalue\tbound\tgap_%\tseconds");
    let instances = options.sizes.iter().flat_map(|s| (0..options.instances).map(|seed| sized(*s, seed)));
    for Instance { name, brief, catalogue, belief, .. } in instances {
        for seed in 1..=options.seeds {
            let budget = Budget { moves: USUAL_MOVES, seed, out_of_time: None };
            let start = Instant::now();
            let out = solve(&brief, &catalogue, &belief, Objective::Benefit, &budget, &mut |_| {});
            let seconds = start.elapsed().as_secs_f64();
            let (value, bound) = (out.value.unwrap_or_default(), out.bound.unwrap_or_default());
            let left = gap(out.value, out.bound).map_or(f64::NAN, |left| 100.0 * left.get());
            println!("{name}\t{seed}\t{value:.4}\t{bound:.4}\t{left:.2}\t{seconds:.2}");
        }
    }
}

fn write_briefs(folder: &Path) -> Result<(), Box<dyn Error>> {
    std::fs::create_dir_all(folder)?;
    for seed in 1..=BRIEFS {
        let text = toml::to_string(&varied(seed).brief)?;
        std::fs::write(folder.join(format!("brief_{seed:02}.toml")), text)?;
    }
    Ok(())
}

fn bench(options: &Options, size: Size, seed: u64) -> Result<(), Box<dyn Error>> {
    let instance = sized(size, seed);
    let problem = instance.problem();
    let frames = frames(&problem);
    let mut best: Option<Placed> = None;
    for &moves in &options.moves {
        for seed in 0..options.seeds {
            let start = Instant::now();
            let budget = Budget { moves, seed, out_of_time: None };
            let searched = search(&problem, &frames, &budget, &mut |_| {});
            let seconds = start.elapsed().as_secs_f64();
            let Some(placed) = searched.best else { continue };
            println!(
                "{}\t{}\t{seed}\t{}\t{:.4}\t{}\t{seconds:.3}\t{:.0}",
                instance.name,
                frames.len(),
                searched.moves,
                placed.found.value as f64 / POINT,
                placed.found.short,
                searched.moves as f64 / seconds
            );
            if best.as_ref().is_none_or(|b| placed.found.beats(&b.found)) {
                best = Some(placed);
            }
        }
    }
    let Some(best) = best else { return Ok(()) };
    if options.bound && best.found.short == 0 {
        press(&instance.name, &problem, &frames, &best);
    }
    options.export.as_ref().map_or(Ok(()), |folder| {
        export(folder, &instance.name, size, seed, &problem, &frames[best.frame], &best.found)
    })
}

/// The bound over all frames, against the best value of all seeds.
fn press(name: &str, problem: &Problem, frames: &[Frame], best: &Placed) {
    let start = Instant::now();
    let budget = Budget { moves: 0, seed: 0, out_of_time: None };
    let pressed = bound_all(problem, frames, best, &budget);
    let (bound, rounds) = (pressed.bound, pressed.work);
    let value = pressed.better.as_ref().unwrap_or(best).found.value;
    println!(
        "# {name}: best value {:.4}, bound {:.4}, gap {:.2} %, {rounds} rounds in {:.2} s",
        value as f64 / POINT,
        bound as f64 / POINT,
        100.0 * (bound - value) as f64 / bound.abs().max(1) as f64,
        start.elapsed().as_secs_f64()
    );
}

fn export(
    folder: &Path,
    name: &str,
    size: Size,
    seed: u64,
    problem: &Problem,
    frame: &Frame,
    found: &Found,
) -> Result<(), Box<dyn Error>> {
    std::fs::create_dir_all(folder)?;
    let mut out = exchange::problem(name, problem, frame);
    out["size"] = json!(size.name());
    out["seed"] = json!(seed);
    out["ours"] = json!({ "value": found.value, "short": found.short, "plan": exchange::plan(&found.plan) });
    let path = folder.join(format!("{}.json", name.replace(' ', "_")));
    std::fs::write(path, serde_json::to_string(&out)?)?;
    Ok(())
}

/// Values the plans of a file: each line has `size`, `seed`, `days` and `plan`, and is printed again with `value` and
/// what is wrong with it.
fn evaluate(path: &Path) -> Result<(), Box<dyn Error>> {
    let mut problems: BTreeMap<String, Problem> = BTreeMap::new();
    for line in std::fs::read_to_string(path)?.lines() {
        let mut result: Value = serde_json::from_str(line)?;
        let name = result["size"].as_str().unwrap_or_default().to_owned();
        let seed = result["seed"].as_u64().ok_or("a line has no seed")?;
        let key = format!("{name} {seed}");
        if !problems.contains_key(&key) {
            problems.insert(key.clone(), sized(size(&name)?, seed).problem());
        }
        let problem = problems.get(&key).ok_or("no problem")?;
        if let Some(plan) = exchange::read_plan(&result["plan"]) {
            let days: Vec<u64> = serde_json::from_value(result["days"].clone())?;
            let (value, wrong) = judge(problem, &days, &plan);
            result["value"] = json!(value);
            result["wrong"] = json!(wrong);
        }
        println!("{result}");
    }
    Ok(())
}

/// Value of a plan and what it breaks, by the planner's own state.
fn judge(problem: &Problem, days: &[u64], plan: &Plan) -> (Option<f64>, Vec<String>) {
    let all = frames(problem);
    let on_days = |f: &&Frame| f.days.iter().map(|d| u64::from(*d)).eq(days.iter().copied());
    let mut wrong = vec!["no frame has these days".to_owned()];
    for frame in all.iter().filter(on_days) {
        let found = Found { plan: plan.clone(), value: 0, short: 0 };
        let state = state_of(problem, frame, &found);
        wrong = faults(problem, frame, plan);
        if state.plan() != *plan {
            wrong.push("a ceiling is passed".to_owned());
        } else if state.short() > 0 {
            wrong.push(format!("{} units short", state.short()));
        }
        if wrong.is_empty() {
            return (Some(state.value() as f64 / POINT), wrong);
        }
    }
    (None, wrong)
}

fn faults(problem: &Problem, frame: &Frame, plan: &Plan) -> Vec<String> {
    let mut out = Vec::new();
    for (s, blocks) in plan.sessions.iter().enumerate() {
        let eligible = blocks.iter().all(|b| b.lifts().all(|(l, _)| frame.eligible[s][l]));
        if !eligible || !blocks.iter().all(|b| slot_allowed(problem, s, *b)) {
            out.push(format!("session {s} has a block that is not allowed"));
        }
        if !variety_kept(problem, blocks) {
            out.push(format!("session {s} has too many of a pattern"));
        }
        if !orderable(problem, blocks) {
            out.push(format!("session {s} has no order"));
        }
    }
    out
}
