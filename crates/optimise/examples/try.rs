use setwright_model::*;
use setwright_optimise::*;
fn main() {
    let path = std::env::args().nth(1).unwrap();
    let moves: u64 = std::env::args().nth(2).map_or(1_000_000, |s| s.parse().unwrap());
    let rounds: u32 = std::env::args().nth(3).map_or(100, |s| s.parse().unwrap());
    let brief: Brief = toml::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let catalogue = setwright_science::catalogue::builtin();
    let belief = Belief { one_rm: Default::default(), tau: [Hours(38.0); 18] };
    let p = problem::compile(&brief, catalogue, &belief, false);
    println!("lifts {} start {} ", p.lifts.len(), p.start_units);
    let frames = frame::frames(&p);
    println!("frames {}", frames.len());
    for f in frames.iter().take(4) {
        let pools = moves::Pools::new(&p, f);
        let t = std::time::Instant::now();
        let mut rng = rng::Rng::new(1, 0);
        let (best, n) = finder::anneal(&p, f, &pools, None, moves, &mut rng, &|| false);
        let dt = t.elapsed().as_secs_f64();
        println!("{:?} value {} short {} in {:.2}s {:.2} M/s", f.days, best.value as f64 / 1e6, best.short, dt, n as f64 / dt / 1e6);
        let mut st = state::State::new(&p, f);
        for (s, b) in best.plan.sessions.iter().enumerate() { if let Some(c) = st.with(&[(s, *b)]) { st.apply(&c) } else { println!("cannot rebuild {s}") } }
        for (s, b) in best.plan.sessions.iter().enumerate() {
            println!("-- session {} day {} {:?} time {} of {} {:?}", s, f.days[s], f.focus[s], st.sums(s).time, p.minutes_units[s], st.sums(s));
            for slot in order::ordered(&p, b) {
                let names: Vec<_> = slot.lifts().map(|(l, _)| p.lifts[l].exercise.name.clone()).collect();
                println!("   {:?} rest {} sets {} : {}", slot.kind(), problem::MODES[slot.mode as usize].rest_s, slot.sets, names.join(" + "));
            }
        }
        println!("doses: {}", Muscle::ALL.iter().map(|m| format!("{} {:.1}", m.id(), f64::from(st.raw(m.index())) / 4.0)).collect::<Vec<_>>().join(", "));
        let t = std::time::Instant::now();
        let start = dual::Prices::from_state(&p, f, &st);
        if let Some((b, _)) = dual::bound(&p, f, &start, best.value, rounds, &|| false) {
            println!("bound {} gap {:.2}% in {:.2}s", b as f64 / 1e6, 100.0 * (b - best.value) as f64 / b as f64, t.elapsed().as_secs_f64());
        } else { println!("no bound: infeasible"); }
    }
}
