//! Briefs as files, planned and judged without the ledger, the pages and the commands: figures a brief, and answers
//! as `setwright plan --json` gives them, for readers outside. `briefs --help` says how.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a command for developers")]
#![allow(clippy::disallowed_methods, reason = "it measures time")]

use serde_json::{Value, json};
use setwright_check::audit;
use setwright_formats as files;
use setwright_gym::catalogue::builtin;
use setwright_model::answer::gap;
use setwright_model::brief::MinutesPerSession;
use setwright_model::{Brief, Finding, Minutes, Programme, Severity};
use setwright_optimise::budget::USUAL_MOVES;
use setwright_optimise::{Budget, Objective, Solved, solve};
use setwright_science::strength;
use std::error::Error;
use std::path::{Path, PathBuf};
use std::time::Instant;

const HELP: &str = "\
briefs plan BRIEF [--seed N] [--moves N]      the answer as JSON, as far as it is read outside
briefs figures PATH... [--seeds N] [--moves N]
                       value, bound, gap, seconds and what the check says, for each brief and each of N seeds;
                       how far the seeds lie apart
briefs against PATH... [--seeds N] [--times N]
                       the bound of the usual budget at seed 1 against the best of N seeds with N times the moves
briefs steady PATH... [--seed N] [--moves N]
                       how many exercises of the cycle change with a minute more, a year more, the next birthday that
                       ages are reckoned anew at (nothing where no age is told), the same where the client goes on from
                       the programme before, and a twentieth more search
A PATH is a brief, or a folder of briefs.";

/// What to do.
struct Options {
    paths: Vec<PathBuf>,
    seed: u64,
    seeds: u64,
    moves: u64,
    times: u64,
}

impl Options {
    fn read(mut arguments: impl Iterator<Item = String>) -> Result<Self, Box<dyn Error>> {
        let mut out = Self { paths: Vec::new(), seed: 1, seeds: 1, moves: USUAL_MOVES, times: 10 };
        while let Some(argument) = arguments.next() {
            let mut value = || {
                arguments
                    .next()
                    .ok_or(format!("{argument} needs a value"))?
                    .parse::<u64>()
                    .map_err(Box::<dyn Error>::from)
            };
            match argument.as_str() {
                "--seed" => out.seed = value()?,
                "--seeds" => out.seeds = value()?,
                "--moves" => out.moves = value()?,
                "--times" => out.times = value()?,
                // The readers of plans ask for it; there is nothing else here.
                "--json" => {}
                path if !path.starts_with('-') => out.paths.extend(briefs_at(Path::new(path))?),
                _ => return Err(HELP.into()),
            }
        }
        Ok(out)
    }
}

/// The briefs of a folder in order of their names, or the one at the path.
fn briefs_at(path: &Path) -> Result<Vec<PathBuf>, Box<dyn Error>> {
    if !path.is_dir() {
        return Ok(vec![path.to_owned()]);
    }
    let inside =
        std::fs::read_dir(path)?.map(|entry| entry.map(|e| e.path())).collect::<Result<Vec<_>, _>>()?;
    // What is expected of a brief lies beside it, as NAME.expect.toml.
    let is_brief = |p: &PathBuf| {
        let expects = p.file_stem().is_some_and(|stem| Path::new(stem).extension().is_some());
        p.extension().is_some_and(|e| e == "toml") && !expects
    };
    let mut briefs: Vec<PathBuf> = inside.into_iter().filter(is_brief).collect();
    briefs.sort();
    Ok(briefs)
}

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let what = arguments.next().unwrap_or_default();
    let options = Options::read(arguments)?;
    match what.as_str() {
        "plan" => plan(&options),
        "figures" => figures(&options),
        "against" => against(&options),
        "steady" => steady(&options),
        _ => Err(HELP.into()),
    }
}

fn brief_at(path: &Path) -> Result<Brief, Box<dyn Error>> {
    let source = files::read(path).map_err(|r| format!("{r:?}"))?;
    files::brief::parse(&source, builtin()).map_err(|r| format!("{}: {r:?}", path.display()).into())
}

/// A brief with its answer.
struct Planned {
    name: String,
    brief: Brief,
    outcome: Solved,
    seconds: f64,
}

impl Planned {
    fn of(path: &Path, seed: u64, moves: u64) -> Result<Self, Box<dyn Error>> {
        let name = path.file_stem().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
        Ok(Self::for_client(name, brief_at(path)?, seed, moves))
    }

    fn for_client(name: String, brief: Brief, seed: u64, moves: u64) -> Self {
        let belief = strength::belief(&brief, builtin());
        let budget = Budget { moves, seed, out_of_time: None };
        let start = Instant::now();
        let outcome = solve(&brief, builtin(), &belief, Objective::Benefit, &budget, &mut |_| {});
        Self { name, brief, outcome, seconds: start.elapsed().as_secs_f64() }
    }

    fn judged(&self, programme: &Programme) -> setwright_check::Report {
        audit(programme, Some(&self.brief), builtin(), &strength::belief(&self.brief, builtin()))
    }

    fn gap(&self) -> Option<f64> {
        gap(self.outcome.value, self.outcome.bound).map(setwright_model::Share::get)
    }
}

fn plan(options: &Options) -> Result<(), Box<dyn Error>> {
    for path in &options.paths {
        println!("{}", answer(&Planned::of(path, options.seed, options.moves)?)?);
    }
    Ok(())
}

/// The answer with the names that `setwright plan --json` gives its parts.
fn answer(planned: &Planned) -> Result<Value, Box<dyn Error>> {
    let outcome = &planned.outcome;
    let mut out = json!({
        "status": outcome.status,
        "value": outcome.value,
        "bound": outcome.bound,
        "gap": planned.gap(),
        "nodes": outcome.nodes,
        "seconds": planned.seconds,
        "cycle_days": planned.brief.time.cycle_days,
        "sessions": [],
        "muscles": [],
        "reasons": outcome.reasons,
        "conflict": outcome.conflict,
        "findings": [],
    });
    if let Some(programme) = &outcome.programme {
        let report = planned.judged(programme);
        out["sessions"] = sessions(programme, &report)?;
        out["muscles"] = serde_json::to_value(&report.muscles)?;
        out["findings"] = serde_json::to_value(&report.findings)?;
    }
    Ok(out)
}

fn sessions(programme: &Programme, report: &setwright_check::Report) -> Result<Value, Box<dyn Error>> {
    let mut out = serde_json::to_value(&programme.sessions)?;
    let of_all = out.as_array_mut().ok_or("sessions are a list")?;
    for (session, judged) in of_all.iter_mut().zip(&report.sessions) {
        session["minutes"] = json!(judged.minutes);
    }
    Ok(out)
}

fn figures(options: &Options) -> Result<(), Box<dyn Error>> {
    let (mut gaps, mut seconds, mut apart) = (Vec::new(), Vec::new(), Vec::new());
    println!("brief\tseed\tstatus\tvalue\tbound\tgap_%\tseconds\tfindings");
    for path in &options.paths {
        let mut values = Vec::new();
        for seed in options.seed..options.seed + options.seeds {
            let planned = Planned::of(path, seed, options.moves)?;
            println!("{}", row(&planned, seed));
            gaps.extend(planned.gap().map(|g| 100.0 * g));
            seconds.push(planned.seconds);
            values.extend(planned.outcome.value);
        }
        let (least, most) = values.iter().fold((f64::MAX, f64::MIN), |(l, m), v| (l.min(*v), m.max(*v)));
        apart.extend((!values.is_empty()).then(|| 100.0 * (most - least) / most.abs()));
    }
    for (what, all) in [("gap, %", &mut gaps), ("seconds", &mut seconds), ("seeds apart, %", &mut apart)] {
        println!("{}", spread(what, all));
    }
    Ok(())
}

fn row(planned: &Planned, seed: u64) -> String {
    let outcome = &planned.outcome;
    let shown = |v: Option<f64>| v.map_or_else(|| "-".to_owned(), |v| format!("{v:.3}"));
    let findings = outcome.programme.as_ref().map(|p| planned.judged(p).findings).unwrap_or_default();
    format!(
        "{}\t{seed}\t{:?}\t{}\t{}\t{}\t{:.2}\t{}",
        planned.name,
        outcome.status,
        shown(outcome.value),
        shown(outcome.bound),
        shown(planned.gap().map(|g| 100.0 * g)),
        planned.seconds,
        told(&findings)
    )
}

/// Codes of errors and warnings.
fn told(findings: &[Finding]) -> String {
    let heard = findings.iter().filter(|f| f.severity > Severity::Note);
    heard.map(|f| format!("{:?} {}", f.severity, f.code)).collect::<Vec<_>>().join(", ")
}

fn spread(what: &str, all: &mut [f64]) -> String {
    all.sort_by(f64::total_cmp);
    let (Some(most), Some(median)) = (all.last(), all.get(all.len() / 2)) else {
        return format!("# {what}: none");
    };
    let mean = all.iter().sum::<f64>() / all.len() as f64;
    format!("# {what}: median {median:.2}, mean {mean:.2}, largest {most:.2} of {}", all.len())
}

/// A bound that somebody passes is a wrong one.
fn against(options: &Options) -> Result<(), Box<dyn Error>> {
    println!("brief\tbound\tvalue\tbest\tseed_of_best\tleft_%\tholds");
    for path in &options.paths {
        let usual = Planned::of(path, 1, options.moves)?;
        let (Some(bound), Some(value)) = (usual.outcome.bound, usual.outcome.value) else {
            println!("{}\t-\t-\t-\t-\t-\tno programme", usual.name);
            continue;
        };
        let mut best = (value, 1);
        for seed in 1..=options.seeds {
            let other = Planned::of(path, seed, options.times * options.moves)?.outcome.value;
            best = other.filter(|v| *v > best.0).map_or(best, |v| (v, seed));
        }
        let left = 100.0 * (bound - best.0) / bound.abs();
        println!(
            "{}\t{bound:.3}\t{value:.3}\t{:.3}\t{}\t{left:.2}\t{}",
            usual.name,
            best.0,
            best.1,
            bound >= best.0
        );
    }
    Ok(())
}

/// Little more of anything should change little.
fn steady(options: &Options) -> Result<(), Box<dyn Error>> {
    println!("brief\texercises\tminute\tyear\tbirthday\tgoing_on\tsearch");
    for path in &options.paths {
        let name = path.file_stem().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
        let brief = brief_at(path)?;
        let planned = |brief: Brief, moves| {
            Planned::for_client(name.clone(), brief, options.seed, moves).outcome.programme
        };
        let Some(was) = planned(brief.clone(), options.moves) else { continue };
        let changed =
            |now: Option<Programme>| now.map_or("none".to_owned(), |n| changes(&was, &n).to_string());
        let more = options.moves + options.moves / 20;
        println!(
            "{name}\t{}\t{}\t{}\t{}\t{}\t{}",
            was.sessions.iter().flat_map(setwright_model::Session::prescriptions).count(),
            changed(planned(a_minute_more(brief.clone()), options.moves)),
            changed(planned(aged(brief.clone(), |age| age + 1), options.moves)),
            changed(planned(aged(brief.clone(), next_birthday), options.moves)),
            changed(planned(after(aged(brief.clone(), next_birthday), &was), options.moves)),
            changed(planned(brief.clone(), more)),
        );
    }
    Ok(())
}

fn a_minute_more(mut brief: Brief) -> Brief {
    let more = |m: Minutes| Minutes(m.get() + 1.0);
    brief.time.minutes = match brief.time.minutes {
        MinutesPerSession::Same(minutes) => MinutesPerSession::Same(more(minutes)),
        MinutesPerSession::Each(each) => MinutesPerSession::Each(each.into_iter().map(more).collect()),
    };
    brief
}

/// The birthday that ages are reckoned anew at: they count as the nearest five.
const fn next_birthday(age: u32) -> u32 {
    (age + 2) / 5 * 5 + 3
}

/// The brief of who trains by a programme already.
fn after(mut brief: Brief, programme: &Programme) -> Brief {
    brief.style.before = Some(programme.clone());
    brief
}

fn aged(mut brief: Brief, to: impl Fn(u32) -> u32) -> Brief {
    brief.body.age = brief.body.age.map(to);
    brief
}

/// Exercises of the second programme that the same session of the first has not.
fn changes(was: &Programme, now: &Programme) -> usize {
    let both = was.sessions.iter().zip(&now.sessions);
    both.map(|(was, now)| now.prescriptions().filter(|p| !was.prescriptions().any(|q| q.id == p.id)).count())
        .sum()
}
