//! `plan`: from a brief to a programme, and how good it is.

use super::args::{PlanArgs, PlanMode, SearchArgs};
use super::progress::SearchNews;
use super::show::{count, json, number};
use super::text::wrapped;
use super::{common, programme, strips};
use crate::clock;
use crate::ledger::with_ledger;
use crate::reply::{DONE, FINDINGS, Look, Reply};
use setwright_coaching::insight::{self, BeliefStart, Known};
use setwright_coaching::plan::{self, Planned, Search};
use setwright_coaching::screen;
use setwright_formats as files;
use setwright_gym::catalogue::builtin;
use setwright_model::code::Code;
use setwright_model::refusal::{Refusal, Refusals};
use setwright_model::{Belief, Brief, Programme, Seconds, Severity, Status};
use setwright_present::drawings;
use setwright_present::standing::status_line;
use setwright_present::view::{self, ProgrammeView};
use setwright_store::Opening;
use std::fmt::Write as _;
use std::path::Path;

/// Plans the brief.
pub fn run(args: &PlanArgs, look: Look, ledger: &Path) -> Result<Reply, Refusals> {
    let start = BeliefStart::of(args.from_roster);
    let (mut brief, known) = asked(args.brief.as_deref(), args.from_ledger.as_deref(), start, ledger)?;
    if let Some(after) = &args.after {
        brief.style.before = Some(programme_before(after, &brief, look)?);
    }
    let mut from = None;
    if let Some(client) = &args.publish {
        let (current, with_answers) = super::ledger::publish::ready(client, &brief, ledger)?;
        // What is planned from a client's log starts from what was current when it was read.
        let own = known.as_ref().map(|k| k.current).filter(|own| own.client == current.client);
        from = Some(own.unwrap_or_else(|| current.of_brief_alone()));
        brief = with_answers;
    }
    let belief = known.as_ref().map(|k| k.belief.clone());
    let mut planned = solve(&brief, belief, args.search, look).map_err(|p| vec![p])?;
    if let (Some(known), Some(programme)) = (&known, &planned.programme) {
        planned.answer.reasons.extend(insight::load_changes(known, programme.get(), builtin()));
    }
    let mut talk = known.as_ref().map_or_else(String::new, common::common);
    if let Some(out) = &args.out {
        talk += &keep(&planned, &brief, out).map_err(|p| vec![p])?;
    }
    if let (Some(client), Some(from)) = (&args.publish, &from) {
        let plan = (&brief, &planned);
        talk.push_str(&super::ledger::publish::planned((client, start), from, plan, ledger)?);
    }
    let data = if args.json { json(&planned.answer) } else { page(&brief, &planned, look) };
    Ok(Reply { data, talk, code: code(&planned) })
}

/// The brief that is planned, and what is known of the client when the ledger is asked.
pub fn asked(
    brief: Option<&Path>,
    from_ledger: Option<&str>,
    start: BeliefStart,
    ledger: &Path,
) -> Result<(Brief, Option<Known>), Refusals> {
    let read = |path: &Path| {
        let source = files::read(path).map_err(|p| vec![p])?;
        files::brief::parse(&source, builtin())
    };
    let given = brief.map(read).transpose()?;
    let Some(client) = from_ledger else {
        let nothing = || {
            let hint = "Give a brief, or --from-ledger with a client.";
            vec![Refusal::new(Code::Usage, "There is nothing to plan.", hint)]
        };
        return Ok((given.ok_or_else(nothing)?, None));
    };
    let known = with_ledger(ledger, Opening::Existing, |uow| {
        insight::known(uow, client, start, builtin()).map_err(|p| vec![p])
    })?;
    let mut brief = known.brief_to_plan(given).map_err(|p| vec![p])?;
    brief.style.before = known.programme.as_ref().map(|p| p.programme.clone());
    Ok((brief, Some(known)))
}

fn programme_before(path: &Path, brief: &Brief, look: Look) -> Result<Programme, Refusals> {
    let source = files::read(path).map_err(|p| vec![p])?;
    let read = files::either::read(&source, builtin(), Some(brief.time.cycle_days), look.units)?;
    Ok(read.programme)
}

/// Plans a brief with news on the terminal.
pub fn solve(
    brief: &Brief,
    belief: Option<Belief>,
    args: SearchArgs,
    look: Look,
) -> Result<Planned, Refusal> {
    let mode = match args.mode {
        PlanMode::Benefit => plan::Objective::Benefit,
        PlanMode::Minutes => plan::Objective::Minutes,
    };
    let effort = args.effort;
    let search = Search { mode, seed: effort.seed, moves: effort.moves, limit: Seconds(effort.seconds) };
    let news = SearchNews::begin(look.progress, &format!("Planning for {}.", brief.name));
    plan::plan(brief, belief, builtin(), search, &clock::wall().stopwatch(), &mut |p| {
        let best = p.value.map_or_else(|| "none yet".to_owned(), |v| number(v, 1));
        let bound = p.bound.map_or_else(|| "not yet known".to_owned(), |b| number(b, 1));
        news.say(format!("Planning for {}: best {best}, bound {bound}.", brief.name));
    })
}

/// The exit code of a plan.
pub const fn code(planned: &Planned) -> u8 {
    if planned.programme.is_some() { DONE } else { FINDINGS }
}

fn keep(planned: &Planned, brief: &Brief, out: &Path) -> Result<String, Refusal> {
    let Some(programme) = &planned.programme else {
        return Ok(format!("There is no programme, so {} was not written.\n", out.display()));
    };
    let notes = [
        format!("Programme for {}, certified by setwright.", brief.name),
        status_line(planned),
        format!(
            "Seed {}. Edit it by hand and check it: setwright audit FILE --brief BRIEF.",
            planned.answer.seed
        ),
    ];
    files::write(out, &files::programme::write(programme.get(), &notes))?;
    Ok(format!("Wrote {}.\n", out.display()))
}

/// Everything about a plan.
pub fn page(brief: &Brief, planned: &Planned, look: Look) -> String {
    page_with(brief, planned, view::of_plan(planned, brief, builtin()).as_ref(), look)
}

fn page_with(brief: &Brief, planned: &Planned, view: Option<&ProgrammeView>, look: Look) -> String {
    let mut out = head(brief);
    out.push('\n');
    if let Some(view) = view {
        out.push_str(&programme::sessions(view, look.units, &lanes(planned, view, look)));
        out.push_str(&programme::muscles(view));
        out.push('\n');
    }
    let why: Vec<String> = planned.answer.reasons.iter().map(|said| said.shown_in(look.units)).collect();
    section(&mut out, "Why", &why);
    section(&mut out, "What clashes", &planned.answer.conflict);
    section(&mut out, "To look at", &findings(planned, look));
    section(&mut out, "Caution", &planned.answer.cautions);
    let more = if planned.answer.status == Status::Unknown {
        " More --moves, or a looser brief, may help."
    } else {
        ""
    };
    out.push_str(&wrapped(&(status_line(planned) + more), 0, 0));
    out
}

/// Each session as lanes, on a terminal that is wide enough.
fn lanes(planned: &Planned, view: &ProgrammeView, look: Look) -> Vec<String> {
    let (Some(columns), Some(programme)) = (look.columns, &planned.programme) else { return Vec::new() };
    let both = programme.get().sessions.iter().zip(&view.sessions);
    let drawn = both.map(|(session, shown)| drawings::lanes(session, shown, look.units, builtin()));
    drawn.map(|lanes| strips::strips(&lanes, columns)).collect()
}

fn head(brief: &Brief) -> String {
    let time = &brief.time;
    let mut out =
        format!("{}: {} in {} days\n", brief.name, count(time.sessions as usize, "session"), time.cycle_days);
    if !brief.about.is_empty() {
        out.push_str(&wrapped(&brief.about, 0, 0));
    }
    if let Some(draft) = screen::draft(&brief.screening) {
        out.push_str(&wrapped(&format!("{draft} setwright screen asks them."), 0, 0));
    }
    out
}

fn section(out: &mut String, title: &str, lines: &[String]) {
    if lines.is_empty() {
        return;
    }
    let _ = writeln!(out, "{title}");
    for line in lines {
        out.push_str(&wrapped(line, 2, 4));
    }
    out.push('\n');
}

fn findings(planned: &Planned, look: Look) -> Vec<String> {
    // What the screening says stands under the cautions.
    let own = planned.answer.findings.iter().filter(|f| f.code != "SW170");
    own.filter(|f| f.severity > Severity::Note || planned.answer.findings.len() <= NOTES_SHOWN)
        .map(|f| {
            let [cause, hint] = [&f.cause, &f.hint].map(|said| said.shown_in(look.units));
            format!("{} {} {}: {cause} {hint}", look.paint.severity(f.severity), f.code, f.subject)
        })
        .collect()
}

/// With more findings than these, notes are left to --json.
const NOTES_SHOWN: usize = 8;

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_coaching::demo;
    use setwright_coaching::plan::Stop;
    use setwright_gym::discs::Plate;
    use setwright_model::answer::gap;
    use setwright_model::exercise::LoadKind;
    use setwright_model::{Answer, BlockKind, Finding, FindingPlace, Kilograms, MassUnit, Muscle};
    use setwright_present::view::{
        BlockView, LineView, LoadView, MuscleView, ProgrammeView, SessionView, StepView,
    };
    use setwright_science::clock::Timeline;

    fn answer(status: Status, value: Option<f64>, bound: Option<f64>) -> Answer {
        let gap = gap(value, bound);
        Answer {
            status,
            value,
            bound,
            gap,
            seed: 1,
            nodes: 10,
            seconds: Seconds(1.0),
            cycle_days: 7,
            sessions: Vec::new(),
            muscles: Vec::new(),
            reasons: vec!["Time binds on day 1.".into()],
            conflict: Vec::new(),
            cautions: vec!["See a clinician when in doubt.".to_owned()],
            findings: vec![Finding::new(
                Severity::Warning,
                "SW136",
                (FindingPlace::Programme, "the programme"),
                "Too unlike.",
                "Move one.",
            )],
        }
    }

    fn planned(
        status: Status,
        value: Option<f64>,
        bound: Option<f64>,
        mode: plan::Objective,
        stop: Stop,
    ) -> Planned {
        Planned { answer: answer(status, value, bound), programme: None, mode, stop }
    }

    #[test]
    fn the_last_line_never_claims_more_than_is_known() {
        let benefit = plan::Objective::Benefit;
        let line = |p: Planned| status_line(&p);
        assert_eq!(
            line(planned(Status::Feasible, Some(82.4), Some(85.1), benefit, Stop::Moves)),
            "Feasible: found 82.4. Nothing under these rules passes 85.1 (gap 3.2 %). Stopped: move limit."
        );
        assert_eq!(
            line(planned(Status::Feasible, Some(82.4), None, benefit, Stop::Time)),
            "Feasible: found 82.4. How much better it could be was not bounded. Stopped: time limit."
        );
        assert_eq!(
            line(planned(Status::Feasible, Some(100.0), Some(90.0), plan::Objective::Minutes, Stop::Moves)),
            "Feasible: found 100.0 min a cycle. Nothing under these rules takes less than 90.0 min (gap 10.0 %). \
             Stopped: move limit."
        );
        assert!(
            line(planned(Status::Unknown, None, None, benefit, Stop::Moves)).contains("none was ruled out")
        );
        assert!(
            line(planned(Status::Infeasible, None, None, benefit, Stop::Settled)).starts_with("Infeasible")
        );
        assert!(
            line(planned(Status::Optimal, Some(1.0), Some(1.0), benefit, Stop::Settled)).contains("proven")
        );
    }

    fn load(kg: Option<f64>, kind: LoadKind, discs: Option<&[f64]>) -> LoadView {
        let discs =
            discs.map(|d| d.iter().map(|kg| Plate { mass: Kilograms(*kg), marked: MassUnit::Kg }).collect());
        LoadView { kg: kg.map(Kilograms), kind, discs }
    }

    fn line(label: &str, name: &str, load: LoadView, ramp: Vec<StepView>) -> LineView {
        LineView {
            label: label.to_owned(),
            id: name.replace(' ', "_"),
            name: name.to_owned(),
            sets: 3,
            reps: [8, 12],
            counted_in: "",
            each_side: false,
            rir: 2,
            load,
            ramp,
        }
    }

    fn view() -> ProgrammeView {
        let step = StepView { reps: 8, load: load(Some(40.0), LoadKind::Bar, Some(&[10.0])) };
        let bench =
            line("A", "bench press", load(Some(60.0), LoadKind::Bar, Some(&[10.0, 10.0])), vec![step]);
        let row = line("B1", "dumbbell row", load(Some(20.0), LoadKind::DumbbellPair, None), Vec::new());
        let plank = LineView {
            reps: [30, 30],
            counted_in: "s",
            each_side: true,
            ..line("B2", "side plank", load(None, LoadKind::Body, None), Vec::new())
        };
        let curl = line("C", "cable curl", load(None, LoadKind::Stack, None), Vec::new());
        let block = |kind, lines| BlockView { kind, rest_s: 120.0, lines };
        ProgrammeView {
            client: "Bram".to_owned(),
            cycle_days: 7,
            sessions: vec![SessionView {
                number: 1,
                day: 3,
                focus: "whole body".to_owned(),
                timeline: Timeline::default(),
                minutes: 41.6,
                limit_minutes: Some(60.0),
                work_minutes: 12.0,
                rest_minutes: 25.0,
                moving_minutes: 4.6,
                sets: 12,
                blocks: vec![
                    block(BlockKind::Straight, vec![bench]),
                    block(BlockKind::Alternating, vec![row, plank]),
                    block(BlockKind::Straight, vec![curl]),
                ],
            }],
            muscles: vec![
                MuscleView {
                    id: Muscle::Chest,
                    name: "chest",
                    sets_per_week: 3.0,
                    least: Some(4.0),
                    most: Some(8.0),
                    priority: Some(setwright_model::brief::Priority::High),
                    sessions_per_cycle: 1,
                    shortest_gap_h: Some(168.0),
                    needed_gap_h: Some(41.2),
                },
                MuscleView {
                    id: Muscle::Calves,
                    name: "calves",
                    sets_per_week: 0.0,
                    least: None,
                    most: None,
                    priority: None,
                    sessions_per_cycle: 0,
                    shortest_gap_h: None,
                    needed_gap_h: None,
                },
            ],
        }
    }

    #[test]
    fn a_plan_is_a_sheet_of_plain_columns() {
        let brief = demo::roster(Some("Bram")).unwrap().remove(0);
        let shown = planned(Status::Feasible, Some(82.4), Some(85.1), plan::Objective::Benefit, Stop::Moves);
        insta::assert_snapshot!(page_with(&brief, &shown, Some(&view()), Look::default()), @r"
        Bram: 3 sessions in 7 days
        Busy adult with three hours a week, two years of training.

        Session 1, day 3, whole body: 42 of 60 min, 12 sets
          A   bench press          3 x 8-12  60 kg [10 10]  RIR 2  rest 2:00 min
              warm-up 8 x 40 kg [10]
          B1  dumbbell row         3 x 8-12  20 kg each     RIR 2
          B2  side plank    3 x 30 s a side  body           RIR 2  rest 2:00 min a round
          C   cable curl           3 x 8-12  by feel        RIR 2  rest 2:00 min

        Two rows of one letter are done in turn: a set of each, then the rest. In brackets: the discs on
        each side, from the inside out. By feel: a load that leaves the reps in reserve; log it and the next
        one is known.

        muscle  sets a week  asked  sessions  closest  ready after
        chest           3.0  4-8           1    168 h         41 h  high priority, under what is asked
        Not trained: calves.

        Why
          Time binds on day 1.

        To look at
          warning SW136 the programme: Too unlike. Move one.

        Caution
          See a clinician when in doubt.

        Feasible: found 82.4. Nothing under these rules passes 85.1 (gap 3.2 %). Stopped: move limit.
        ");
    }

    #[test]
    fn pounds_are_shown_on_request_and_discs_keep_their_own_numbers() {
        let brief = demo::roster(Some("Bram")).unwrap().remove(0);
        let shown = planned(Status::Feasible, Some(82.4), Some(85.1), plan::Objective::Benefit, Stop::Moves);
        let look = Look { units: setwright_model::MassUnit::Lb, ..Look::default() };
        let text = page_with(&brief, &shown, Some(&view()), look);
        assert!(text.contains("132.5 lb [10 10 kg]"), "{text}");
    }
}
