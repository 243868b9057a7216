//! The commands that draw and print. A name that looks like a file is one; else it is a client of the ledger.

pub mod calendar;
pub mod draw;
pub mod report;
pub mod sheet;

use super::ledger::with_ledger;
use super::paper_args::{PrintArgs, WhomArgs};
use crate::clock;
use crate::reply::{Look, Reply};
use setwright_check::JudgedProgramme;
use setwright_coaching::belief;
use setwright_coaching::insight::{self, BeliefStart, Known};
use setwright_formats as files;
use setwright_gym::catalogue::builtin;
use setwright_model::code::Code;
use setwright_model::refusal::{Refusal, Refusals};
use setwright_model::{Belief, Brief, MassUnit, Programme};
use setwright_present::pain;
use setwright_present::sheets::{self, Print};
use setwright_science::screening::MayTrain;
use setwright_store::Opening;
use std::path::Path;

/// A programme that is drawn or printed, and what it is judged by.
pub struct PaperSubject {
    /// The programme with what was found of it.
    pub judged: JudgedProgramme,
    /// Its brief, if there is one.
    pub brief: Option<Brief>,
    /// What is left out of it for pain, in sentences; mostly empty.
    pub note: String,
}

impl PaperSubject {
    /// The same to be trained by: what is shown of it may be done.
    pub fn to_train(&self) -> Result<sheets::Subject<'_>, Refusals> {
        let subject = sheets::Subject::of(&self.judged, self.brief.as_ref()).map_err(|p| vec![p])?;
        Ok(sheets::Subject { note: &self.note, ..subject })
    }
}

/// The client when the answers before training do not stop him or her.
pub fn may_train(known: &Known) -> Result<MayTrain<&Known>, Refusals> {
    MayTrain::of(known).map_err(|withheld| vec![withheld.into()])
}

/// Whether a name means a file: it is there, or it ends like one.
pub fn is_file(whom: &str) -> bool {
    let path = Path::new(whom);
    let ending = path.extension().and_then(|e| e.to_str()).unwrap_or("").to_lowercase();
    whom == "-" || matches!(ending.as_str(), "toml" | "csv" | "tsv" | "txt") || path.is_file()
}

/// The client of the ledger that is meant.
pub fn known(whom: &str, ledger: &Path) -> Result<Known, Refusals> {
    with_ledger(ledger, Opening::Existing, |uow| {
        insight::known(uow, whom, BeliefStart::Population, builtin()).map_err(|p| vec![p])
    })
}

/// The brief in a file.
pub fn brief(path: &Path) -> Result<Brief, Refusals> {
    let source = files::read(path).map_err(|p| vec![p])?;
    files::brief::parse(&source, builtin())
}

/// The programme that is meant: that of the file, or the one in force of the client.
pub fn subject(of: &WhomArgs, unit: MassUnit, ledger: &Path) -> Result<PaperSubject, Refusals> {
    let given = of.brief.as_deref().map(brief).transpose()?;
    if is_file(&of.whom) {
        let source = files::read(Path::new(&of.whom)).map_err(|p| vec![p])?;
        let cycle_days = of.cycle_days.or(given.as_ref().map(|b| b.time.cycle_days));
        let programme = files::either::read(&source, builtin(), cycle_days, unit)?.programme;
        let belief =
            given.as_ref().map_or_else(|| belief::of_anyone(builtin()), |b| belief::of(b, builtin()));
        return Ok(judged(programme, given, &belief));
    }
    let known = known(&of.whom, ledger)?;
    let Some(programme) = insight::to_train(&known) else {
        return Err(vec![nothing(
            &known,
            "programme in force",
            "setwright plan BRIEF --publish CLIENT hands one out.",
        )]);
    };
    // Another brief judges the programme otherwise; it does not answer for the client.
    let answers = known.brief.as_ref().map(|b| b.screening.clone());
    let given =
        given.map(|brief| Brief { screening: answers.unwrap_or_else(|| brief.screening.clone()), ..brief });
    let note = pain::left_out_of_all(&known, builtin());
    Ok(PaperSubject { note, ..judged(programme, given.or(known.brief), &known.belief) })
}

fn judged(programme: Programme, brief: Option<Brief>, belief: &Belief) -> PaperSubject {
    let judged = JudgedProgramme::of(programme, brief.as_ref(), builtin(), belief);
    PaperSubject { judged, brief, note: String::new() }
}

/// How it is printed, as asked for.
pub fn print(args: &PrintArgs, look: Look) -> Print<'static> {
    let today = clock::wall().now().date();
    Print { paper: args.paper.into(), unit: look.units, today, catalogue: builtin() }
}

/// Writes a document, and says so.
pub fn keep(path: &Path, bytes: &[u8]) -> Result<Reply, Refusals> {
    files::write_bytes(path, bytes).map_err(|p| vec![p])?;
    Ok(Reply { talk: format!("Wrote {}.\n", path.display()), ..Reply::default() })
}

/// The client has nothing of the kind.
pub fn nothing(known: &Known, what: &str, hint: &str) -> Refusal {
    let name = &known.client.card.name;
    Refusal::new(Code::NothingInForce, format!("{name} has no {what}."), hint)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_with_the_ending_of_a_file_is_a_file_and_any_other_a_client() {
        assert!(is_file("mara.toml") && is_file("old/Sheet.CSV") && is_file("-"));
        assert!(!is_file("mara") && !is_file("Dr. Who") && !is_file("src"));
    }
}
