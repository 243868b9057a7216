//! Problems and plans as JSON, for solvers outside: all that the value and the rules are made of, in whole numbers.

use serde_json::{Value, json};
use setwright_formulate::frame::Frame;
use setwright_formulate::plan::{Blocks, NONE, Plan, PlanBlock};
use setwright_formulate::problem::{Candidate, Choice, MODES, Problem, SETS};
use setwright_formulate::tables::{DOSE_UNIT, POINT, STRAIN_UNIT};
use setwright_model::{Muscle, Pattern};

/// A problem in one of its frames.
pub fn problem(name: &str, problem: &Problem, frame: &Frame) -> Value {
    let rules = &problem.rules;
    let sessions = frame.sessions();
    json!({
        "name": name,
        // The second value: what lifts bring, effort and counts came with it.
        "version": 2,
        "copies": problem.copies,
        "sets_most": problem.sets_most,
        "exercises_most": problem.exercises_most,
        "session_most": &problem.quotas.session_most[..problem.quotas.counts.len()],
        "cycle_least": &problem.quotas.cycle_least[..problem.quotas.counts.len()],
        "cycle_most": &problem.quotas.cycle_most[..problem.quotas.counts.len()],
        "session_least": frame.least.iter().map(|l| &l[..problem.quotas.counts.len()]).collect::<Vec<_>>(),
        "signs": problem.tables.signs,
        "cycle_days": problem.brief.time.cycle_days,
        "units": { "point": POINT, "dose": DOSE_UNIT, "strain": STRAIN_UNIT },
        "minutes": problem.minutes_units,
        "start": problem.start_units,
        "most": [rules.systemic, rules.spinal, rules.grip],
        "most_exercises": rules.exercises,
        "most_spine_heavy": rules.spine_heavy,
        "variants": problem.variants,
        "balances": problem.balances,
        "balance_slack": problem.balance_slack,
        "sessions_least": problem.sessions_least,
        "trained_quarters": problem.trained_quarters,
        "muscles": Muscle::ALL.map(Muscle::id),
        "patterns": Pattern::ALL.iter().map(|p| p.id()).collect::<Vec<_>>(),
        "tables": tables(problem),
        "days": frame.days,
        "carry": (0..Muscle::COUNT).map(|m| carry(frame, m)).collect::<Vec<_>>(),
        "spine_pairs": frame.spine_pairs,
        "eligible": frame.eligible,
        "balanced": (0..sessions).map(|s| frame.balanced(s)).collect::<Vec<_>>(),
        "lifts": problem.lifts.iter().map(lift).collect::<Vec<_>>(),
        "may_alternate": pairs(&problem.may_alternate, |a, b| a < b),
        "may_share_muscle": pairs(&problem.may_share_muscle, |_, _| true),
        "locks": problem.locks.iter().map(|(index, lock)| json!({
            "lift": index,
            "session": lock.session.map(|s| s - 1),
            "sets": lock.sets,
            "with": lock.with.as_ref().map(|id| problem.lifts.iter().position(|l| l.exercise.id == *id)),
        })).collect::<Vec<_>>(),
    })
}

fn tables(problem: &Problem) -> Value {
    let tables = &problem.tables;
    let open = |most: &i32| if *most >= i32::MAX / 4 { None } else { Some(*most) };
    json!({
        "weight_1024": tables.weight,
        "strain_factor": tables.strain_factor,
        "free_strain": tables.free_strain,
        "strain_max": tables.strain_max,
        "least": tables.least,
        "most": tables.most.iter().map(open).collect::<Vec<_>>(),
        "lift_value": tables.lift_value,
        "effort": (0..problem.parts())
            .map(|s| (0..tables.efforts(s)).map(|e| tables.effort(s, e as u32)).collect::<Vec<_>>())
            .collect::<Vec<_>>(),
        "time_price": tables.time_price,
    })
}

fn carry(frame: &Frame, muscle: usize) -> Vec<Vec<i32>> {
    let n = frame.sessions();
    frame.carry[muscle][..n].iter().map(|row| row[..n].to_vec()).collect()
}

fn lift(lift: &Candidate) -> Value {
    let choices: Vec<[i64; 6]> = MODES
        .iter()
        .enumerate()
        .flat_map(|(mode, _)| (1..=SETS).map(move |sets| (mode, sets)))
        .map(|(mode, sets)| (mode, sets, lift.choices[mode][sets - 1]))
        .filter(|(_, _, c)| c.allowed)
        .map(|(mode, sets, c)| row(mode, sets, c))
        .collect();
    json!({
        "id": lift.exercise.id.as_str(),
        "quarters": lift.quarters,
        "pattern": lift.pattern,
        "family": lift.family,
        "rank": lift.rank,
        "side": lift.side,
        "costs": lift.costs,
        "spine_heavy": lift.spine_heavy,
        "choices": choices,
    })
}

/// Mode, sets, time, lead, worth, price.
fn row(mode: usize, sets: usize, c: Choice) -> [i64; 6] {
    [mode as i64, sets as i64, i64::from(c.time), i64::from(c.lead), i64::from(c.worth), i64::from(c.price)]
}

fn pairs(matrix: &[Vec<bool>], keep: impl Fn(usize, usize) -> bool) -> Vec<(usize, usize)> {
    let cells = |a: usize| (0..matrix.len()).map(move |b| (a, b));
    (0..matrix.len()).flat_map(cells).filter(|&(a, b)| matrix[a][b] && keep(a, b)).collect()
}

/// A plan: by session, blocks of first lift, second lift or nothing, sets, mode.
pub fn plan(plan: &Plan) -> Value {
    let block = |s: &PlanBlock| json!([s.a, if s.b == NONE { None } else { Some(s.b) }, s.sets, s.mode]);
    let session = |blocks: &Blocks| blocks.iter().map(block).collect::<Vec<_>>();
    json!(plan.sessions.iter().map(session).collect::<Vec<_>>())
}

/// The plan that was written so. `None` when it is not one.
pub fn read_plan(value: &Value) -> Option<Plan> {
    let sessions = value.as_array()?.iter().map(|s| s.as_array()?.iter().map(read_block).collect());
    Some(Plan { sessions: sessions.collect::<Option<Vec<Blocks>>>()? })
}

fn read_block(value: &Value) -> Option<PlanBlock> {
    let part = |i: usize| value.get(i);
    let number = |v: &Value| v.as_u64().and_then(|n| u16::try_from(n).ok());
    let b = part(1)?;
    Some(PlanBlock {
        a: number(part(0)?)?,
        b: if b.is_null() { NONE } else { number(b)? },
        sets: number(part(2)?)? as u8,
        mode: number(part(3)?)? as u8,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plan_is_read_as_it_was_written() {
        let slots =
            [PlanBlock { a: 3, b: NONE, sets: 2, mode: 1 }, PlanBlock { a: 4, b: 7, sets: 3, mode: 5 }];
        let written = Plan { sessions: vec![slots.into_iter().collect(), Blocks::default()] };
        assert_eq!(read_plan(&plan(&written)), Some(written));
        assert_eq!(read_plan(&json!([[[1, "two", 3, 4]]])), None);
    }
}
