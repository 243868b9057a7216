//! Handing out a programme: only a certified one goes into the ledger, with how it came about.

use super::{UnitOfWork, of_store};
use crate::belief;
use crate::plan::Planned;
use serde::Serialize;
use setwright_check::{Certified, certify};
use setwright_model::code::Code;
use setwright_model::ledger::{BriefSet, ClientId, EventId, ProgrammePublished, Provenance, What};
use setwright_model::refusal::Refusal;
use setwright_model::{Belief, Brief, Catalogue, Finding, Programme, Severity};
use setwright_store::Store;

/// What was published.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Published {
    /// For whom.
    pub client: String,
    /// The event of the programme.
    pub programme: EventId,
    /// Whether the brief in the ledger was replaced by the one that was planned for.
    pub brief_changed: bool,
}

const PROGRAM: &str = concat!("setwright ", env!("CARGO_PKG_VERSION"));

/// Publishes what was planned for a brief; the brief becomes the one in force if it is another.
pub fn planned(
    uow: &mut UnitOfWork,
    wanted: &str,
    brief: &Brief,
    planned: &Planned,
) -> Result<Published, Refusal> {
    let Some(certified) = &planned.programme else {
        return Err(Refusal::new(
            Code::NotPublished,
            "There is no programme to publish.",
            "See what clashes, change the brief, and plan again.",
        ));
    };
    let answer = &planned.answer;
    let provenance = Provenance {
        program: PROGRAM.to_owned(),
        brief: None,
        status: Some(answer.status),
        seed: Some(answer.seed),
        nodes: Some(answer.nodes),
        value: answer.value,
        bound: answer.bound,
    };
    publish(uow, wanted, Some(brief), certified, provenance)
}

/// Publishes a programme that was written or edited by hand, if it passes the check for the client's brief.
///
/// # Errors
/// The findings that stand against it, as one problem each.
pub fn by_hand(
    uow: &mut UnitOfWork,
    wanted: &str,
    programme: Programme,
    brief: Option<&Brief>,
    catalogue: &Catalogue,
) -> Result<Published, Vec<Refusal>> {
    let client = uow.client(wanted).map_err(|p| vec![p])?;
    let in_force = uow.store.brief(client.client).map_err(|e| vec![of_store(&e)])?.map(|b| b.brief);
    let Some(judged_by) = brief.cloned().or(in_force) else {
        return Err(vec![Refusal::new(
            Code::NotPublished,
            format!("{} has no brief to judge the programme by.", client.card.name),
            "Give one: --brief FILE, or setwright client change NAME --brief FILE.",
        )]);
    };
    let judged = (&judged_by, brief);
    edited(uow, wanted, programme, judged, None, catalogue)
}

/// Publishes a programme that was written or edited, if it passes the check for the brief that judges it, with what is believed
/// of the client; the second brief, where there is one, becomes the one in force.
///
/// # Errors
/// The findings that stand against it, as one problem each.
pub fn edited(
    uow: &mut UnitOfWork,
    wanted: &str,
    programme: Programme,
    (judged_by, brief): (&Brief, Option<&Brief>),
    belief: Option<Belief>,
    catalogue: &Catalogue,
) -> Result<Published, Vec<Refusal>> {
    let belief = belief.unwrap_or_else(|| belief::of(judged_by, catalogue));
    let certified = certify(programme, judged_by, catalogue, &belief).map_err(|report| {
        report.findings.iter().filter(|f| f.severity == Severity::Error).map(against).collect::<Vec<_>>()
    })?;
    let provenance = Provenance {
        program: PROGRAM.to_owned(),
        brief: None,
        status: None,
        seed: None,
        nodes: None,
        value: None,
        bound: None,
    };
    publish(uow, wanted, brief, &certified, provenance).map_err(|p| vec![p])
}

fn against(finding: &Finding) -> Refusal {
    let what = format!("{} ({}): {}", finding.subject, finding.code, finding.cause);
    Refusal::new(Code::NotPublished, what, finding.hint.clone())
}

fn publish(
    uow: &mut UnitOfWork,
    wanted: &str,
    brief: Option<&Brief>,
    certified: &Certified,
    provenance: Provenance,
) -> Result<Published, Refusal> {
    let client = uow.client(wanted)?;
    let batch = Some(uow.batch());
    let (brief_event, change) = brief_event(uow, client.client, brief, batch)?;
    let provenance = Provenance { brief: brief_event, ..provenance };
    let programme = certified.get().clone();
    let what = What::Programme(Box::new(ProgrammePublished { programme, provenance }));
    let published = uow.event(client.client, None, batch, what);
    let id = published.id;
    let brief_changed = change.is_some();
    uow.write(change.into_iter().chain([published]).collect())?;
    Ok(Published { client: client.card.name, programme: id, brief_changed })
}

/// The event of the brief in force, and a new one to write first if the brief is another.
fn brief_event(
    uow: &mut UnitOfWork,
    client: ClientId,
    brief: Option<&Brief>,
    batch: Option<EventId>,
) -> Result<(Option<EventId>, Option<setwright_model::ledger::Event>), Refusal> {
    let in_force = uow.store.brief(client).map_err(|e| of_store(&e))?;
    let same = |have: &Brief| brief.is_none_or(|b| b == have);
    match (in_force, brief) {
        (Some(have), _) if same(&have.brief) => Ok((Some(have.id), None)),
        (_, Some(brief)) => {
            let what = What::Brief(Box::new(BriefSet { brief: brief.clone() }));
            let event = uow.event(client, None, batch, what);
            Ok((Some(event.id), Some(event)))
        }
        (have, None) => Ok((have.map(|h| h.id), None)),
    }
}
