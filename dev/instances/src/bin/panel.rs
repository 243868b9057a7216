//! Plans a brief and prints the answer as JSON, without the check and the rest of the program: for quick readings.
//!
//! `panel plan BRIEF [--json] [--seed N] [--moves N] [--no-bound]`. The words of the command line are those of the program, so that a
//! reader of programmes can be pointed at either.
#![allow(clippy::all, clippy::pedantic, clippy::unwrap_used, clippy::expect_used, clippy::print_stdout, missing_docs)]
use setwright_model::{Brief, ExerciseId, Muscle};
use setwright_optimise::solve::{Budget, Mode, solve};
use setwright_science::{catalogue::builtin, clock, dose, strength};

fn arg(name: &str) -> Option<String> {
    let args: Vec<String> = std::env::args().collect();
    args.iter().position(|a| a == name).and_then(|i| args.get(i + 1).cloned())
}

fn main() {
    let path = std::env::args().nth(2).unwrap();
    let text = std::fs::read_to_string(path).unwrap();
    let mut brief: Brief = toml::from_str(&text).unwrap();
    name_lifts(&mut brief);
    let moves = arg("--moves").and_then(|m| m.parse().ok()).unwrap_or(setwright_optimise::solve::USUAL_MOVES);
    let seed = arg("--seed").and_then(|m| m.parse().ok()).unwrap_or(1);
    let belief = strength::belief(&brief, builtin());
    let t0 = std::time::Instant::now();
    let o = solve(&brief, builtin(), &belief, Mode::Benefit, &Budget { moves, seed, out_of_time: None }, &mut |_| {});
    let secs = t0.elapsed().as_secs_f64();
    let status = format!("{:?}", o.status);
    let status = match status.as_str() { "WithinTolerance" => "within_tolerance".to_owned(), s => s.to_lowercase() };
    let gap = o.value.zip(o.bound).map(|(v, b)| (b - v) / b.abs().max(1e-6));
    eprintln!("{} {:.1} s value {:?} bound {:?} gap {:.2} %", brief.name, secs, o.value, o.bound, 100.0 * gap.unwrap_or(0.0));
    let mut out = serde_json::json!({"status": status, "value": o.value, "bound": o.bound, "gap": gap, "seconds": secs, "cycle_days": brief.time.cycle_days, "conflict": o.conflict, "reasons": o.reasons, "sessions": [], "muscles": []});
    if let Some(p) = o.programme { lay(&mut out, &p, &brief); }
    println!("{out}");
}

fn name_lifts(brief: &mut Brief) {
    let key = |n: &str| n.to_lowercase().replace(['-', '_'], " ");
    let find = |id: &ExerciseId| builtin().iter().find(|e| key(e.id.as_str()) == key(id.as_str()) || key(&e.name) == key(id.as_str()) || e.also.iter().any(|a| key(a) == key(id.as_str()))).map(|e| e.id.clone());
    for l in &mut brief.lifts { if let Some(id) = find(&l.exercise) { l.exercise = id; } else { eprintln!("unknown lift {}", l.exercise) } }
    for l in &mut brief.locks { if let Some(id) = find(&l.exercise) { l.exercise = id; } if let Some(w) = &l.with { l.with = find(w); } }
    for l in &mut brief.exclude.exercises { if let Some(id) = find(l) { *l = id; } }
}

fn lay(out: &mut serde_json::Value, p: &setwright_model::Programme, brief: &Brief) {
    let mut total = [0.0; Muscle::COUNT];
    let mut visits = [0; Muscle::COUNT];
    let mut sessions = vec![];
    for s in &p.sessions {
        let d = dose::of_session(s, builtin());
        for m in Muscle::ALL { total[m.index()] += d[m.index()].get(); if d[m.index()].get() >= 1.0 { visits[m.index()] += 1; } }
        let mut v = serde_json::to_value(s).unwrap();
        v["minutes"] = serde_json::json!(clock::session(s, builtin(), brief.time.cold).map(|t| t.minutes().get()).unwrap_or(0.0));
        sessions.push(v);
    }
    out["sessions"] = serde_json::json!(sessions);
    out["muscles"] = serde_json::json!(Muscle::ALL.iter().map(|m| serde_json::json!({"id": serde_json::to_value(m).unwrap(), "sets_per_week": total[m.index()] * 7.0 / f64::from(brief.time.cycle_days), "sessions_per_cycle": visits[m.index()]})).collect::<Vec<_>>());
}
