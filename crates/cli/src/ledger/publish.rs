//! `publish`, and the end of `plan --publish`.

use super::with_ledger;
use crate::Reply;
use crate::ledger_args::PublishArgs;
use crate::show::json;
use setwright_coaching::ledger::publish::{self, Published};
use setwright_coaching::plan::Planned;
use setwright_formats as files;
use setwright_gym::catalogue::builtin;
use setwright_model::Brief;
use setwright_model::refusal::Refusals;
use setwright_store::Opening;
use std::path::Path;

/// Runs `publish`.
pub fn run(args: &PublishArgs, ledger: &Path) -> Result<Reply, Refusals> {
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
        publish::by_hand(uow, &args.client, programme, brief.as_ref(), builtin())
    })?;
    if args.json {
        return Ok(Reply::data(json(&published)));
    }
    Ok(Reply { talk: talk(&published), ..Reply::default() })
}

/// Publishes what was planned; what to say about it.
pub fn planned(client: &str, brief: &Brief, planned: &Planned, ledger: &Path) -> Result<String, Refusals> {
    with_ledger(ledger, Opening::Existing, |uow| {
        let published = publish::planned(uow, client, brief, planned).map_err(|p| vec![p])?;
        Ok(talk(&published))
    })
}

fn talk(published: &Published) -> String {
    let brief = if published.brief_changed { " The brief is now the one in force." } else { "" };
    format!("Published for {} as {}.{brief}\n", published.client, published.programme.short())
}
