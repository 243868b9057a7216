//! `publish`, and the end of `plan --publish`.

use super::with_ledger;
use crate::ledger_args::PublishArgs;
use crate::reply::Reply;
use crate::show::json;
use setwright_coaching::insight::{self, BeliefStart};
use setwright_coaching::ledger::current::Current;
use setwright_coaching::plan::Planned;
use setwright_coaching::publish::{self, Published};
use setwright_formats as files;
use setwright_gym::catalogue::builtin;
use setwright_model::refusal::Refusals;
use setwright_model::{Brief, MassUnit};
use setwright_store::Opening;
use std::path::Path;

/// Runs `publish`.
pub fn run(args: &PublishArgs, units: MassUnit, ledger: &Path) -> Result<Reply, Refusals> {
    let source = files::read(&args.programme).map_err(|p| vec![p])?;
    let programme = files::programme::parse(&source, builtin())?;
    let brief = match &args.brief {
        None => None,
        Some(path) => {
            let source = files::read(path).map_err(|p| vec![p])?;
            Some(files::brief::parse(&source, builtin())?)
        }
    };
    let published = with_ledger(ledger, Opening::Existing, |uow| {
        let known =
            insight::known(uow, &args.client, BeliefStart::Population, builtin()).map_err(|p| vec![p])?;
        publish::by_hand(uow, &known, programme, brief.as_ref(), units, builtin())
    })?;
    if args.json {
        return Ok(Reply::data(json(&published)));
    }
    Ok(Reply { talk: talk(&published), ..Reply::default() })
}

/// Whether a programme for this brief may be published at all, before it is planned: what is current, and the brief with the answers
/// before training that hold.
pub fn ready(client: &str, brief: &Brief, ledger: &Path) -> Result<(Current, Brief), Refusals> {
    with_ledger(ledger, Opening::Existing, |uow| publish::ready(uow, client, brief).map_err(|p| vec![p]))
}

/// Publishes what was planned from what was current; what to say about it.
pub fn planned(
    (client, start): (&str, BeliefStart),
    from: &Current,
    plan: (&Brief, &Planned),
    ledger: &Path,
) -> Result<String, Refusals> {
    with_ledger(ledger, Opening::Existing, |uow| {
        let known = insight::known(uow, client, start, builtin()).map_err(|p| vec![p])?;
        let published = publish::planned(uow, &known, from, plan, builtin()).map_err(|p| vec![p])?;
        Ok(talk(&published))
    })
}

fn talk(published: &Published) -> String {
    let brief = if published.brief_changed { " The brief is now the one in force." } else { "" };
    let replaced = published
        .replaced
        .map_or_else(String::new, |at| format!(" It takes the place of the programme of {}.", at.date()));
    format!("Published for {} as {}.{replaced}{brief}\n", published.client, published.programme.short())
}
