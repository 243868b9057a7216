//! `demo`: plans the demo roster and prints it, one line for each client, then each programme; then serves it with half a
//! year of invented logs.

use super::args::DemoArgs;
use super::progress::SearchNews;
use super::show::{json, number};
use super::text::{Columns, LEFT, RIGHT};
use super::{plan, serve};
use crate::machine;
use crate::reply::{DONE, Look, Reply, say};
use serde::Serialize;
use setwright_coaching::demo::{self, past};
use setwright_coaching::ledger::UnitOfWork;
use setwright_coaching::plan::Planned;
use setwright_gym::catalogue::builtin;
use setwright_model::refusal::{Refusal, Refusals};
use setwright_model::{Answer, Brief, Status};
use setwright_store::Opening;
use std::io;
use std::panic::resume_unwind;
use std::path::PathBuf;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

#[derive(Serialize)]
struct Client<'a> {
    client: &'a str,
    answer: &'a Answer,
}

/// Plans the roster. A brief that cannot be met is part of it, so the exit code is 0 when all went as meant.
pub fn run(args: &DemoArgs, look: Look) -> Result<Reply, Refusals> {
    let briefs = demo::roster(args.client.as_deref())?;
    let planned = plan_all(briefs, args, look).map_err(|p| vec![p])?;
    if args.json {
        let all: Vec<Client<'_>> =
            planned.iter().map(|(b, p)| Client { client: &b.name, answer: &p.answer }).collect();
        return Ok(Reply::data(json(&all)));
    }
    let mut data = if planned.len() > 1 { roster(&planned) + "\n" } else { String::new() };
    let pages: Vec<String> = planned.iter().map(|(brief, p)| plan::page(brief, p, look)).collect();
    data.push_str(&pages.join(&format!("\n{}\n\n", "-".repeat(super::text::WIDTH))));
    if args.print || args.client.is_some() {
        return Ok(Reply { data, talk: String::new(), code: DONE });
    }
    say(&mut io::stdout().lock(), &data);
    let gym = Gym::begin();
    gym.live(&planned).map_err(|p| vec![p])?;
    serve::serve(&gym.ledger(), args.port, !args.no_open)?;
    Ok(Reply::default())
}

/// Plans every brief, as many at once as there are cores: a newcomer waits for the slowest, not for all.
fn plan_all(briefs: Vec<Brief>, args: &DemoArgs, look: Look) -> Result<Vec<(Brief, Planned)>, Refusal> {
    let many = briefs.len();
    let news = SearchNews::begin(look.progress, &format!("Planning for {many} clients."));
    let quiet = Look { progress: false, ..look };
    let (next, ready) = (AtomicUsize::new(0), AtomicUsize::new(0));
    let work = || {
        let mut plans = Vec::new();
        while let Some((place, brief)) = at(&briefs, next.fetch_add(1, Ordering::Relaxed)) {
            plans.push((place, plan::solve(brief, None, args.search, quiet)));
            let ready = ready.fetch_add(1, Ordering::Relaxed) + 1;
            news.say(format!("Planned for {ready} of {many} clients."));
        }
        plans
    };
    let cores = thread::available_parallelism().map_or(1, std::num::NonZero::get).min(many);
    let mut plans: Vec<(usize, Result<Planned, Refusal>)> = thread::scope(|scope| {
        let workers: Vec<_> = (0..cores).map(|_| scope.spawn(work)).collect();
        workers.into_iter().flat_map(|w| w.join().unwrap_or_else(|fall| resume_unwind(fall))).collect()
    });
    plans.sort_by_key(|(place, _)| *place);
    let plans: Result<Vec<Planned>, Refusal> = plans.into_iter().map(|(_, plan)| plan).collect();
    Ok(briefs.into_iter().zip(plans?).collect())
}

fn at(briefs: &[Brief], place: usize) -> Option<(usize, &Brief)> {
    briefs.get(place).map(|b| (place, b))
}

/// A ledger in a folder of its own that is gone when the demo ends.
struct Gym {
    folder: PathBuf,
}

impl Gym {
    fn begin() -> Self {
        let folder = std::env::temp_dir().join(format!("setwright-demo-{}", std::process::id()));
        let gym = Self { folder };
        // A ledger of a demo that was killed under the same number is in nobody's way.
        let _ = std::fs::remove_dir_all(&gym.folder);
        gym
    }

    fn ledger(&self) -> PathBuf {
        self.folder.join("ledger.sqlite3")
    }

    fn live(&self, planned: &[(Brief, Planned)]) -> Result<(), Refusal> {
        let mut uow = UnitOfWork::open(&self.ledger(), Opening::Create, &machine::this())?;
        for (nth, (brief, planned)) in planned.iter().enumerate() {
            past::live(&mut uow, nth, brief, planned, builtin())?;
        }
        uow.close()
    }
}

impl Drop for Gym {
    fn drop(&mut self) {
        // What cannot be removed is in the system's folder for such things.
        let _ = std::fs::remove_dir_all(&self.folder);
    }
}

fn roster(planned: &[(Brief, Planned)]) -> String {
    let mut columns = Columns::new(&[LEFT, RIGHT, LEFT, LEFT, RIGHT, RIGHT, LEFT]);
    columns.row(["client", "sessions", "minutes", "outcome", "value", "gap", "who it is"]);
    for (brief, plan) in planned {
        let minutes: Vec<String> = plan.answer.sessions.iter().map(|s| number(s.minutes.get(), 0)).collect();
        columns.row([
            brief.name.clone(),
            format!("{} in {} d", brief.time.sessions, brief.time.cycle_days),
            minutes.join(" "),
            word(plan.answer.status).to_owned(),
            plan.answer.value.map_or_else(String::new, |v| format!("{v:.1}")),
            plan.answer.gap.map_or_else(String::new, |g| format!("{:.1} %", 100.0 * g.get())),
            brief.about.clone(),
        ]);
    }
    columns.lines(0)
}

const fn word(status: Status) -> &'static str {
    match status {
        Status::Optimal => "optimal",
        Status::WithinTolerance => "within tolerance",
        Status::Feasible => "feasible",
        Status::Infeasible => "infeasible",
        Status::Unknown => "unknown",
    }
}
