//! `pain`: what was reported, what is left out because of it, and what was answered by whom.

use super::with_ledger;
use crate::ledger_args::PainArgs;
use crate::reply::Reply;
use crate::show::json;
use crate::text::wrapped;
use setwright_coaching::insight::{self, BeliefStart};
use setwright_coaching::ledger::pain;
use setwright_formats as files;
use setwright_gym::catalogue::builtin;
use setwright_model::ledger::{PainReply, PainReported};
use setwright_model::refusal::Refusals;
use setwright_present::pain::{PainLine, PainView, view};
use setwright_store::Opening;
use std::path::Path;

/// Runs `pain`.
pub fn run(args: &PainArgs, ledger: &Path) -> Result<Reply, Refusals> {
    let one = |p| vec![p];
    let reported = reported(args)?;
    let answer = [(&args.leave_out, PainReply::LeaveOut), (&args.train_again, PainReply::TrainAgain)];
    let answer = answer.into_iter().find_map(|(report, reply)| Some((report.as_deref()?, reply)));
    let shown = with_ledger(ledger, Opening::Existing, |uow| {
        if let Some(reported) = reported {
            pain::report(uow, &args.client, reported).map_err(one)?;
        }
        if let Some((report, reply)) = answer {
            pain::answer(uow, &args.client, report, reply, args.reason.clone()).map_err(one)?;
        }
        let known = insight::known(uow, &args.client, BeliefStart::Population, builtin()).map_err(one)?;
        Ok(view(&known, builtin()))
    })?;
    Ok(Reply::data(if args.json { json(&shown) } else { page(&shown) }))
}

/// What is to be reported.
fn reported(args: &PainArgs) -> Result<Option<PainReported>, Refusals> {
    let Some(place) = args.report else { return Ok(None) };
    let named = |name: &String| files::names::resolve(name, builtin()).map(|e| e.id.clone());
    let exercise = args.exercise.as_ref().map(named).transpose().map_err(|p| vec![p])?;
    let words = args.words.clone().unwrap_or_default();
    Ok(Some(PainReported { place, side: args.side, exercise, session: None, words }))
}

fn page(view: &PainView) -> String {
    let mut out = String::new();
    for sentence in &view.clinician {
        out.push_str(&wrapped(sentence, 0, 2));
    }
    if view.open.is_empty() && view.answered.is_empty() {
        out.push_str(&wrapped(&format!("{}: no pain was reported.", view.client), 0, 2));
    }
    for line in &view.open {
        out.push_str(&wrapped(&reported_line(line), 0, 2));
        if !line.out.is_empty() {
            let left = format!("Out of the coming sessions until somebody answers: {}.", line.out.join(", "));
            out.push_str(&wrapped(&left, 2, 4));
        }
        let short = line.id.short();
        out.push_str(&wrapped(&format!("Answer: --leave-out {short} or --train-again {short}"), 2, 4));
    }
    for line in &view.answered {
        out.push_str(&wrapped(&reported_line(line), 0, 2));
        if let Some(answer) = &line.answer {
            out.push_str(&wrapped(answer, 2, 4));
        }
    }
    out
}

fn reported_line(line: &PainLine) -> String {
    let words = if line.words.is_empty() { String::new() } else { format!(" \"{}\"", line.words) };
    format!("{}: pain, {}.{words}", line.at.date(), line.what)
}
