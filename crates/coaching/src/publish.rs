//! Publishing a programme: only a certified one goes into the ledger, with what it was certified for.
//!
//! A programme is planned for what was current then. What came since is never undone unseen: another brief or programme refuses the
//! publishing, new answers before training hold, and what was logged since has the programme certified again. The answers themselves are
//! no part of what is published, and without them nothing is.

use crate::belief;
use crate::insight::Known;
use crate::ledger::current::{self, Answers, Current};
use crate::ledger::{UnitOfWork, of_store};
use crate::plan::Planned;
use serde::Serialize;
use setwright_check::{CODES, Certified, Report, certify};
use setwright_model::code::Code;
use setwright_model::ledger::{Event, EventId, Moment, ProgrammePublished, Provenance, What};
use setwright_model::refusal::Refusal;
use setwright_model::{Belief, Brief, Catalogue, Finding, MassUnit, Programme, Severity};
use setwright_science::screening::{MayTrain, Outcome, outcome};
use setwright_store::{BriefState, Store, sha256};

/// What was published.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Published {
    /// For whom.
    pub client: String,
    /// The event of the programme.
    pub programme: EventId,
    /// Whether the brief in the ledger was replaced by the one that was planned for.
    pub brief_changed: bool,
    /// When the programme was published whose place it takes.
    pub replaced: Option<Moment>,
}

const PROGRAM: &str = concat!("setwright ", env!("CARGO_PKG_VERSION"));
/// Digits of a catalogue's checksum that are kept: enough to tell two apart.
const CATALOGUE_DIGITS: usize = 16;
/// Findings that are named when a programme does not pass any more.
const FINDINGS_NAMED: usize = 6;

/// Whether a programme for this brief may be published for a client at all, asked before a search that takes long; what is current
/// now, and the brief with the answers before training that hold.
///
/// # Errors
/// The client's brief says something else, or the questions before training are open.
pub fn ready(uow: &mut UnitOfWork, wanted: &str, brief: &Brief) -> Result<(Current, Brief), Refusal> {
    let client = uow.client(wanted)?;
    let current = Current::of(uow, client.client)?;
    is_current(uow, &current, &client.card.name, brief)?;
    let brief = with_answers(uow, &client.card.name, &current, brief)?;
    Ok((current, brief))
}

/// Publishes what was planned for a brief, from what was current then; the brief becomes the one in force if it is another. What is
/// known now is there to certify it again when anything was written since.
///
/// # Errors
/// Something newer is current, the questions before training are open, or the programme does not pass for what is known now.
pub fn planned(
    uow: &mut UnitOfWork,
    known: &Known,
    from: &Current,
    (brief, planned): (&Brief, &Planned),
    catalogue: &Catalogue,
) -> Result<Published, Refusal> {
    let Some(certified) = &planned.programme else {
        return Err(Refusal::new(
            Code::NotPublished,
            "There is no programme to publish.",
            "See what clashes, change the brief, and plan again.",
        ));
    };
    let now = nothing_newer(uow, known, from)?;
    let brief = with_answers(uow, &known.client.card.name, from, brief)?;
    let (certified, belief) = if from.last.is_some() && from.last == now.last {
        (certified.clone(), from.last)
    } else {
        (again(certified, known, &brief, catalogue)?, known.current.last)
    };
    let answer = &planned.answer;
    let provenance = Provenance {
        belief,
        status: Some(answer.status),
        seed: Some(answer.seed),
        nodes: Some(answer.nodes),
        value: answer.value,
        bound: answer.bound,
        ..by(catalogue)
    };
    write(uow, known, &now, &brief, &certified, provenance)
}

/// Publishes a programme that was written by hand, if it passes the check for the client's brief, or for this one where there is none
/// yet.
///
/// # Errors
/// The findings that stand against it, as one problem each, their loads in `unit`.
pub fn by_hand(
    uow: &mut UnitOfWork,
    known: &Known,
    programme: Programme,
    brief: Option<&Brief>,
    unit: MassUnit,
    catalogue: &Catalogue,
) -> Result<Published, Vec<Refusal>> {
    let name = &known.client.card.name;
    let Some(judged_by) = brief.or(known.brief.as_ref()) else {
        return Err(vec![Refusal::new(
            Code::NotPublished,
            format!("{name} has no brief to judge the programme by."),
            "Give one: --brief FILE, or setwright client change NAME --brief FILE.",
        )]);
    };
    let now = Current::of(uow, known.client.client).map_err(|p| vec![p])?;
    is_current(uow, &now, name, judged_by).map_err(|p| vec![p])?;
    edited(uow, known, programme, judged_by, unit, catalogue)
}

/// Publishes a programme that was written or edited, if it passes the check for the brief that judges it, with what is believed of the
/// client; that brief becomes the one in force if it is another.
///
/// # Errors
/// The findings that stand against it, as one problem each, their loads in `unit`.
pub fn edited(
    uow: &mut UnitOfWork,
    known: &Known,
    programme: Programme,
    brief: &Brief,
    unit: MassUnit,
    catalogue: &Catalogue,
) -> Result<Published, Vec<Refusal>> {
    let one = |problem| vec![problem];
    let now = nothing_newer(uow, known, &known.current).map_err(one)?;
    let brief = with_answers(uow, &known.client.card.name, &known.current, brief).map_err(one)?;
    let believed = believed(known, &brief, catalogue);
    let certified = certify(programme, &brief, catalogue, &believed)
        .map_err(|report| errors(&report).map(|f| against(f, unit)).collect::<Vec<_>>())?;
    let provenance = Provenance { belief: known.current.last, ..by(catalogue) };
    write(uow, known, &now, &brief, &certified, provenance).map_err(one)
}

fn errors(report: &Report) -> impl Iterator<Item = &Finding> {
    report.findings.iter().filter(|f| f.severity == Severity::Error)
}

fn against(finding: &Finding, unit: MassUnit) -> Refusal {
    let what = format!("{} ({}): {}", finding.subject, finding.code, finding.cause.shown_in(unit));
    Refusal::new(Code::NotPublished, what, finding.hint.shown_in(unit))
}

/// What a provenance says of any programme.
fn by(catalogue: &Catalogue) -> Provenance {
    Provenance {
        program: PROGRAM.to_owned(),
        brief: None,
        screening: None,
        belief: None,
        catalogue: Some(name_of(catalogue)),
        status: None,
        seed: None,
        nodes: None,
        value: None,
        bound: None,
    }
}

/// The start of a catalogue's checksum: the same exercises, the same name.
fn name_of(catalogue: &Catalogue) -> String {
    let all: Vec<_> = catalogue.iter().collect();
    let text = serde_json::to_string(&all).unwrap_or_default();
    sha256(&[text.as_bytes()]).to_string().chars().take(CATALOGUE_DIGITS).collect()
}

/// What is current now, if the brief and the programme are still those that were planned from.
fn nothing_newer(uow: &mut UnitOfWork, known: &Known, from: &Current) -> Result<Current, Refusal> {
    let (id, name) = (known.client.client, &known.client.card.name);
    let now = Current::of(uow, id)?;
    if now.brief != from.brief {
        let what = match uow.store.brief(id).map_err(|e| of_store(&e))? {
            Some(brief) => format!(
                "Another brief of {name} is current since {}: the programme was not planned for it.",
                said(uow, brief.id, brief.at)?
            ),
            None => format!("The brief of {name} that the programme was planned for was taken back."),
        };
        return Err(Refusal::new(
            Code::SomethingNewer,
            what,
            "Plan again: the brief that is current now is planned for, with what it leaves out.",
        ));
    }
    let current = uow.store.programme(id).map_err(|e| of_store(&e))?;
    let what = match &current {
        Some(programme) if programme.at.unix_ms() > uow.wall.now().unix_ms() => {
            format!(
                "The current programme of {name} is dated {}, and it is not that day yet.",
                programme.at.date()
            )
        }
        _ if now.programme == from.programme => return Ok(now),
        Some(programme) => format!(
            "Another programme of {name} is current since {}: this one was begun before it.",
            said(uow, programme.id, programme.at)?
        ),
        None => format!("The programme of {name} that this one follows was taken back."),
    };
    Err(Refusal::new(
        Code::SomethingNewer,
        what,
        "Look at the programme that is current now, and plan or edit again from there; setwright undo takes back what was written last.",
    ))
}

/// When something was written, and by whom where that is known.
fn said(uow: &mut UnitOfWork, id: EventId, at: Moment) -> Result<String, Refusal> {
    let event = uow.store.event(id).map_err(|e| of_store(&e))?;
    let by = event.map(|e| e.actor.name).filter(|name| !name.is_empty());
    Ok(format!("{} {}{}", at.date(), at.clock(), by.map_or_else(String::new, |by| format!(", by {by}"))))
}

/// Whether a brief from elsewhere says what the client's own says.
fn is_current(uow: &mut UnitOfWork, now: &Current, name: &str, brief: &Brief) -> Result<(), Refusal> {
    let Some(have) = uow.store.brief(now.client).map_err(|e| of_store(&e))? else { return Ok(()) };
    let wanted = kept(uow, now, &have, brief)?;
    let fields = fields_that_differ(&current::alone(&have.brief), &wanted);
    if fields.is_empty() {
        return Ok(());
    }
    Err(Refusal::new(
        Code::SomethingNewer,
        format!(
            "The brief of {name} that is current since {} is another one: they differ in {}.",
            said(uow, have.id, have.at)?,
            fields.join(", ")
        ),
        "setwright plan --from-ledger NAME --publish NAME plans for the one that is current; setwright client change NAME --brief FILE \
         makes this one current first.",
    ))
}

/// A brief as the ledger keeps it: a body mass that was weighed since is an entry of its own.
fn kept(uow: &mut UnitOfWork, now: &Current, have: &BriefState, brief: &Brief) -> Result<Brief, Refusal> {
    let mut kept = current::alone(brief);
    let weighed = uow.store.body_mass(now.client).map_err(|e| of_store(&e))?;
    if weighed.last().is_some_and(|m| kept.body.mass_kg == Some(m.mass.kg)) {
        kept.body.mass_kg = have.brief.body.mass_kg;
    }
    Ok(kept)
}

/// The parts of a brief in which two of them differ, by the names that a file gives them.
fn fields_that_differ(one: &Brief, other: &Brief) -> Vec<String> {
    let fields = |brief: &Brief| match serde_json::to_value(brief) {
        Ok(serde_json::Value::Object(fields)) => fields,
        _ => serde_json::Map::new(),
    };
    let (one, other) = (fields(one), fields(other));
    let names = one.keys().chain(other.keys().filter(|name| !one.contains_key(*name)));
    names.filter(|name| one.get(*name) != other.get(*name)).cloned().collect()
}

/// The brief with the answers before training that hold now: newer ones than were planned with take their place.
fn with_answers(uow: &mut UnitOfWork, name: &str, from: &Current, brief: &Brief) -> Result<Brief, Refusal> {
    let holds = current::answers(uow, from.client)?;
    MayTrain::of(&Brief { screening: holds.screening.clone(), ..brief.clone() })?;
    let newer = holds.event != from.screening;
    let screening = if newer { holds.screening } else { current::joined(name, &holds, &brief.screening)? };
    let brief = Brief { screening, ..brief.clone() };
    is_screened(name, &brief)?;
    Ok(brief)
}

/// Whether the answers before training let a programme be published.
fn is_screened(name: &str, brief: &Brief) -> Result<(), Refusal> {
    MayTrain::of(brief)?;
    let Outcome::Unanswered(_) = outcome(&brief.screening) else { return Ok(()) };
    let open = outcome(&brief.screening).meaning();
    Err(Refusal::new(
        Code::NotScreened,
        format!("The programme of {name} stays a draft. {open}"),
        "Ask them: on the page of the client's brief, or with setwright screen --client NAME; then publish.",
    ))
}

/// What is believed of the client for a brief: from its lifts alone while nothing is logged.
fn believed(known: &Known, brief: &Brief, catalogue: &Catalogue) -> Belief {
    if known.sets.is_empty() { belief::of(brief, catalogue) } else { known.belief_for(brief, catalogue) }
}

/// What a code of the check is about, in a few words.
fn title(code: &str) -> &'static str {
    CODES.iter().find(|info| info.code == code).map_or("", |info| info.title)
}

/// The same programme, certified for what is known now.
fn again(
    certified: &Certified,
    known: &Known,
    brief: &Brief,
    catalogue: &Catalogue,
) -> Result<Certified, Refusal> {
    let belief = believed(known, brief, catalogue);
    certify(certified.get().clone(), brief, catalogue, &belief).map_err(|report| {
        let found: Vec<String> = errors(&report)
            .take(FINDINGS_NAMED)
            .map(|f| format!("{} ({}): {}.", f.code, f.subject, title(f.code)))
            .collect();
        let name = &known.client.card.name;
        Refusal::new(
            Code::SomethingNewer,
            format!("For what is known of {name} now the programme does not pass the check. {}", found.join(" ")),
            "Plan again with the log: on the client's page, or setwright plan --from-ledger NAME --publish NAME.",
        )
    })
}

/// Writes programme, brief and first answers together, unless anything of the client was written since `now`.
fn write(
    uow: &mut UnitOfWork,
    known: &Known,
    now: &Current,
    brief: &Brief,
    certified: &Certified,
    provenance: Provenance,
) -> Result<Published, Refusal> {
    let id = now.client;
    let batch = Some(uow.batch());
    let (mut events, brief_changed) = events_before(uow, now, brief, batch)?;
    let of = |kind: &str, events: &[Event]| events.iter().find(|e| e.what.kind() == kind).map(|e| e.id);
    let provenance = Provenance {
        brief: of("brief", &events).or(now.brief),
        screening: of("screening", &events).or(now.screening),
        ..provenance
    };
    let replaced = uow.store.programme(id).map_err(|e| of_store(&e))?.map(|p| p.at);
    let programme = certified.get().clone();
    let what = What::Programme(Box::new(ProgrammePublished { programme, provenance }));
    let published = uow.event(id, None, batch, what);
    let programme = published.id;
    events.push(published);
    let name = known.client.card.name.clone();
    match uow.write_unless_after(id, now.place, events)? {
        Some(_) => Ok(Published { client: name, programme, brief_changed, replaced }),
        None => Err(Refusal::new(
            Code::SomethingNewer,
            format!("Something was written of {name} at the same moment, and nothing was published."),
            "Publish once more: what was written is taken into account then.",
        )),
    }
}

/// The brief and the answers that are to be written before the programme, where they are not current already.
fn events_before(
    uow: &mut UnitOfWork,
    now: &Current,
    brief: &Brief,
    batch: Option<EventId>,
) -> Result<(Vec<Event>, bool), Refusal> {
    let id = now.client;
    let have = uow.store.brief(id).map_err(|e| of_store(&e))?;
    let wanted = match &have {
        None => current::alone(brief),
        Some(have) => kept(uow, now, have, brief)?,
    };
    if have.is_none_or(|have| current::alone(&have.brief) != wanted) {
        let wanted = Brief { screening: brief.screening.clone(), ..wanted };
        return Ok((current::keeping(uow, id, &wanted, batch)?, true));
    }
    let Answers { screening, .. } = current::answers(uow, id)?;
    let answered = screening != brief.screening;
    let events = answered.then(|| current::answering(uow, id, &brief.screening, batch));
    Ok((events.into_iter().collect(), false))
}

#[cfg(test)]
mod tests;
