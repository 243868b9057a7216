//! Events as they are written, read and refused.

use super::*;
use crate::MassUnit;
use crate::exercise::ExerciseId;
use crate::limits::{
    ADVICE_DAYS_MAX, LOAD_KG_MAX, NOTE_CHARS_MAX, REPS_MAX, RIR_MAX, SORENESS_MAX, SPELL_DAYS_MAX,
};
use crate::muscle::Muscle;
use proptest::prelude::*;

fn id(n: u8) -> EventId {
    EventId::timed(1_764_000_000_000 + u64::from(n), [n; 10])
}

fn client() -> ClientId {
    ClientId::timed(1_764_000_000_000, [7; 10])
}

fn event(what: What) -> Event {
    let at = "2026-11-25T18:05:00+01:00".parse().unwrap();
    Event { id: id(1), at, client: client(), actor: Actor::COACH, batch: None, reason: None, what }
}

fn set(load: Option<Load>, reps: u32, rir: Option<u32>) -> Event {
    let exercise = ExerciseId::from("bench_press");
    let done = SetDone { exercise, kind: SetKind::Work, load, reps, rir, rest_s: None };
    event(What::Set(SetLogged { session: id(2), done }))
}

fn advice(reply: AdviceReply, days: Option<u32>) -> AdviceAnswered {
    AdviceAnswered {
        about: "chest-sets".to_owned(),
        advice: "Add sets".to_owned(),
        reply,
        probability: None,
        days,
    }
}

#[test]
fn an_answer_to_advice_of_before_it_could_be_put_off_is_read_and_written_as_it_was() {
    let before = "{\"about\":\"chest-sets\",\"advice\":\"Add sets\",\"reply\":\"declined\"}";
    let read: AdviceAnswered = serde_json::from_str(before).unwrap();
    assert_eq!(read, advice(AdviceReply::Declined, None));
    assert_eq!(serde_json::to_string(&read).unwrap(), before);
}

#[test]
fn the_end_of_a_session_of_before_it_could_be_early_is_read_and_written_as_it_was() {
    let before = format!("{{\"session\":\"{}\",\"effort\":7}}", id(2));
    let read: SessionFinished = serde_json::from_str(&before).unwrap();
    assert_eq!(read, SessionFinished { session: id(2), effort: Some(7), early: false });
    assert_eq!(serde_json::to_string(&read).unwrap(), before);
}

#[test]
fn a_report_of_pain_says_where_and_what_and_an_answer_what_of_it() {
    let read = |text: &str| serde_json::from_str::<What>(text).unwrap();
    let pain = read("{\"pain\":{\"place\":\"knee\",\"side\":\"left\",\"exercise\":\"back_squat\"}}");
    assert_eq!((pain.kind(), pain.refers_to(), field(&event(pain.clone()))), ("pain", None, None));
    let answered =
        read(&format!("{{\"pain_answered\":{{\"report\":\"{}\",\"reply\":\"leave_out\"}}}}", id(2)));
    assert_eq!((answered.kind(), answered.refers_to()), ("pain_answered", Some(id(2))));
    let What::Pain(report) = pain else { unreachable!("it was read as one") };
    let long = PainReported { words: "x".repeat(NOTE_CHARS_MAX + 1), ..report };
    assert_eq!(field(&event(What::Pain(long))), Some("words"));
    assert!(
        serde_json::from_str::<What>("{\"pain\":{\"side\":\"left\"}}").is_err(),
        "a place is said, never assumed"
    );
}

fn field(event: &Event) -> Option<&'static str> {
    faults(event).first().map(|f| f.field)
}

#[test]
fn an_event_is_written_as_people_can_read_it() {
    let written = serde_json::to_string(&set(Some(Load::new(100.0, MassUnit::Lb)), 8, Some(2))).unwrap();
    assert_eq!(
        written,
        "{\"id\":\"019ab697-e801-7101-8101-010101010101\",\"at\":\"2026-11-25T18:05:00+01:00\",\
         \"client\":\"019ab697-e800-7707-8707-070707070707\",\"actor\":{\"role\":\"coach\"},\
         \"what\":{\"set\":{\"session\":\"019ab697-e802-7202-8202-020202020202\",\"done\":\
         {\"exercise\":\"bench_press\",\"load\":{\"value\":100.0,\"unit\":\"lb\",\"kg\":45.359237},\
         \"reps\":8,\"rir\":2}}}}"
    );
}

#[test]
fn an_unknown_field_is_refused_wherever_it_stands() {
    let good = serde_json::to_string(&set(None, 8, None)).unwrap();
    assert!(serde_json::from_str::<Event>(&good).is_ok());
    for (from, to) in [
        ("\"reps\":8", "\"reps\":8,\"tempo\":3"),
        ("\"session\"", "\"place\":1,\"session\""),
        ("\"role\":\"coach\"", "\"role\":\"coach\",\"age\":3"),
        ("\"what\"", "\"when\":1,\"what\""),
        ("\"set\"", "\"sets\""),
    ] {
        let bad = good.replacen(from, to, 1);
        assert_ne!(bad, good);
        assert!(serde_json::from_str::<Event>(&bad).is_err(), "{bad}");
    }
}

#[test]
fn numbers_outside_their_limits_are_named() {
    assert_eq!(field(&set(None, REPS_MAX, Some(RIR_MAX))), None);
    assert_eq!(field(&set(None, REPS_MAX + 1, None)), Some("reps"));
    assert_eq!(field(&set(None, 0, Some(RIR_MAX + 1))), Some("rir"));
    let load = |kg: f64| Some(Load::new(kg, MassUnit::Kg));
    assert_eq!(field(&set(load(LOAD_KG_MAX), 1, None)), None);
    for kg in [LOAD_KG_MAX + 0.5, -1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(field(&set(load(kg), 1, None)), Some("load"), "{kg}");
    }
    let sore = |level| event(What::Soreness(Soreness { muscle: Muscle::Quads, level }));
    assert_eq!(field(&sore(SORENESS_MAX)), None);
    assert_eq!(field(&sore(SORENESS_MAX + 1)), Some("level"));
    let ill = |days| event(What::Spell(Spell { kind: SpellKind::Illness, days }));
    assert_eq!([1, SPELL_DAYS_MAX].map(|days| field(&ill(days))), [None, None]);
    assert_eq!([0, SPELL_DAYS_MAX + 1].map(|days| field(&ill(days))), [Some("days"), Some("days")]);
    let put_off = |days| event(What::Advice(advice(AdviceReply::Later, days)));
    assert_eq!([1, ADVICE_DAYS_MAX].map(|days| field(&put_off(Some(days)))), [None, None]);
    let wrong = [Some(0), Some(ADVICE_DAYS_MAX + 1), None];
    assert_eq!(wrong.map(|days| field(&put_off(days))), [Some("days"); 3]);
    assert_eq!(field(&event(What::Advice(advice(AdviceReply::Declined, Some(7))))), Some("days"));
    let mass = |kg: f64| event(What::BodyMass(BodyMass { mass: Load::new(kg, MassUnit::Kg) }));
    assert_eq!((field(&mass(25.0)), field(&mass(24.9))), (None, Some("mass")));
}

#[test]
fn kilograms_that_are_not_the_number_as_written_are_refused() {
    let mut wrong = Load::new(100.0, MassUnit::Lb);
    wrong.kg = crate::Kilograms(100.0);
    assert_eq!(field(&set(Some(wrong), 8, None)), Some("load"));
}

#[test]
fn texts_are_short_and_can_be_printed() {
    let note = |text: &str| event(What::Note(Note { text: text.to_owned(), about: None }));
    assert_eq!(field(&note(&"é".repeat(NOTE_CHARS_MAX))), None);
    assert_eq!(field(&note(&"é".repeat(NOTE_CHARS_MAX + 1))), Some("text"));
    assert_eq!(field(&note(" ")), Some("text"));
    assert_eq!(field(&note("a\u{7}")), Some("text"));
    assert_eq!(field(&note("two\nlines")), None);
}

#[test]
fn an_event_cannot_void_itself() {
    assert_eq!(field(&event(What::Voided(Voided { event: id(1) }))), Some("event"));
    assert_eq!(field(&event(What::Voided(Voided { event: id(3) }))), None);
}

#[test]
fn identifiers_are_read_only_in_their_one_form() {
    let text = id(9).to_string();
    assert_eq!(text.parse(), Ok(id(9)));
    assert_eq!(text.to_uppercase().parse(), Ok(id(9)));
    assert_eq!(id(9).made_ms(), Some(1_764_000_000_009));
    assert_eq!(EventId::derived([0xff; 16]).to_string(), "ffffffff-ffff-8fff-bfff-ffffffffffff");
    for bad in [
        "",
        "019ab697-e801-7101-8101-01010101010",
        "019ab697-e801-4101-8101-010101010101",
        "019ab697-e801-7101-c101-010101010101",
        "019ab6bb_3401_7101_8101_010101010101",
        "019ab697-e801-7101-8101-01010101010g",
        "019ab697-e801-7101-8101-0101010101é",
    ] {
        assert!(bad.parse::<EventId>().is_err(), "{bad}");
    }
}

#[test]
fn moments_are_read_as_people_write_them_and_written_in_one_form() {
    for (written, read) in [
        ("2026-11-25T18:05:00+01:00", "2026-11-25T18:05:00+01:00"),
        ("2026-11-25 18:05:00.120Z", "2026-11-25T18:05:00.120+00:00"),
        ("1970-01-01T00:00:00-05:30", "1970-01-01T00:00:00-05:30"),
        ("2024-02-29T23:59:59+14:00", "2024-02-29T23:59:59+14:00"),
    ] {
        assert_eq!(written.parse::<Moment>().unwrap().to_string(), read);
    }
    for bad in [
        "",
        "2026-11-25",
        "2026-11-25T18:05:00",
        "2025-02-29T00:00:00Z",
        "2026-13-01T00:00:00Z",
        "2026-11-25T24:00:00Z",
        "2026-11-25T18:60:00Z",
        "2026-11-25T18:05:00+14:01",
        "2026-11-25T18:05:00+1:00",
        "2026-11-25T18:05Z",
        "1969-12-31T00:00:00Z",
        "2200-01-01T00:00:00Z",
        "2026-11-25T18:05:00.Z",
        "２026-11-25T18:05:00Z",
    ] {
        assert!(bad.parse::<Moment>().is_err(), "{bad}");
    }
}

#[test]
fn the_day_is_that_of_the_wall_and_not_of_utc() {
    let late: Moment = "2026-11-25T00:30:00+02:00".parse().unwrap();
    assert_eq!((late.date().to_string(), late.clock()), ("2026-11-25".to_owned(), "00:30".to_owned()));
    let again: Moment = "2026-11-24T22:30:00Z".parse().unwrap();
    assert_eq!((late.unix_ms(), late.hours_since(again).get()), (again.unix_ms(), 0.0));
    assert_eq!(late.date().plus(7).to_string(), "2026-12-02");
}

#[test]
fn days_since_1970_are_those_of_the_calendar() {
    for (date, days) in
        [("1970-01-01", 0), ("2000-02-29", 11_016), ("2000-03-01", 11_017), ("2026-11-25", 20_782)]
    {
        assert_eq!(date.parse::<Date>().unwrap().days(), days, "{date}");
    }
}

proptest! {
    #[test]
    fn every_moment_reads_back_as_itself(ms in 86_400_000_i64..7_000_000_000_000, offset in -840_i32..=840) {
        let moment = Moment::new(ms, offset).unwrap();
        prop_assert_eq!(moment.to_string().parse(), Ok(moment));
        prop_assert_eq!(Moment::on(moment.date(), moment.ms_of_day(), offset), Ok(moment));
    }

    #[test]
    fn every_day_reads_back_as_itself_and_the_next_is_one_later(days in 0_i64..80_000) {
        let day = Date::new(1970, 1, 1).unwrap().plus(days);
        prop_assert_eq!(day.to_string().parse::<Date>(), Ok(day));
        let (year, month, of_month) = day.civil();
        prop_assert_eq!(Date::new(year, month, of_month), Ok(day));
    }

    #[test]
    fn a_load_reads_back_to_the_bit(value in 0.0_f64..1_300.0, pounds in any::<bool>()) {
        let load = Load::new(value, if pounds { MassUnit::Lb } else { MassUnit::Kg });
        let text = serde_json::to_string(&load).unwrap();
        prop_assert_eq!(serde_json::from_str::<Load>(&text).unwrap(), load);
    }

    #[test]
    fn identifiers_sort_by_when_they_were_made(a in 0_u64..1 << 47, b in 0_u64..1 << 47, bits in any::<[u8; 10]>()) {
        prop_assume!(a != b);
        prop_assert_eq!(EventId::timed(a, bits) < EventId::timed(b, bits), a < b);
        prop_assert_eq!(EventId::from_bytes(EventId::timed(a, bits).bytes()), Ok(EventId::timed(a, bits)));
    }
}
