//! The workbench, driven without a browser: pages, forms, refusals.

use super::pages::{FORM, Gym, Pages, coded, machine, open};
use axum::body::Body;
use axum::http::{Request, StatusCode, header};
use setwright_coaching::jobs::plan_queue::Reservation;
use setwright_coaching::ledger::{UnitOfWork, clients};
use setwright_model::brief::{Aim, Condition, Hurts, Tick};
use setwright_store::Opening;
use tempfile::TempDir;

#[test]
fn a_new_client_has_a_certified_programme_after_one_form() {
    let gym = Gym::new();
    assert!(gym.get("/").1.contains("Nobody is in the ledger yet"));
    let path = gym.newcomer("Ida");
    let (status, page) = gym.get(&format!("{path}/programme"));
    assert_eq!(status, StatusCode::OK);
    for part in ["Programme of", "Session 1, day 1", "Session 2, day 4", "role=\"img\"", "Sets a week"] {
        assert!(page.contains(part), "{part}");
    }
    let (status, sheet) = gym.get(&path);
    assert_eq!(status, StatusCode::OK);
    assert!(sheet.contains("Coming session") && sheet.contains("Nothing is logged yet"), "{sheet}");
    assert!(gym.get("/").1.contains("Ida"));
}

#[test]
fn a_form_that_cannot_be_meant_comes_back_with_what_was_typed() {
    let gym = Gym::new();
    let answer = gym.post(
        "/clients/new",
        &format!("name=Ida&about=%3Cscript%3E&{}", FORM.replace("minutes=45", "minutes=lots")),
    );
    let (status, page) = gym.read(answer);
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.contains("value=\"lots\"") && page.contains("role=\"alert\""), "{page}");
    assert!(!page.contains("<script>"), "what was typed is text");
    assert!(gym.get("/").1.contains("Nobody is in the ledger yet"), "nothing was kept");
    gym.newcomer("Ida");
    let (status, page) = gym.read(gym.post("/clients/new", &format!("name=ida&{FORM}")));
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.contains("SW050"), "a second client of that name");
}

#[test]
fn what_is_asked_of_the_person_is_on_the_page_and_reaches_the_brief() {
    let gym = Gym::new();
    let (_, page) = gym.get("/clients/new");
    let all = Hurts::ALL.iter().map(|h| format!("hurts.{}", h.id()));
    let all = all.chain(Tick::ALL.iter().map(|t| format!("tried.{}", t.id())));
    let all = all.chain(Condition::ALL.iter().map(|c| format!("conditions.{}", c.id())));
    let all = all.chain(Aim::ALL.iter().map(|a| format!("aims.{}", a.id())));
    for name in all {
        assert!(page.contains(&format!("name=\"{name}\"")), "{name}");
    }
    let said = "aims.stairs=yes&hurts.kneeling=yes&tried.hang=no&came_for.quads=yes&alone=yes&chair_rises=12&match_days=6";
    let to = gym.goes(&gym.post("/clients/new", &format!("name=Ida&{FORM}&{said}")));
    let client = to.split_once("/making/").unwrap().0.to_owned();
    gym.made(&to);
    let (_, text) = gym.get(&format!("{client}/brief"));
    for words in
        ["aims = [", "stairs", "kneeling", "cannot = [", "quads", "alone = true", "chair_rises", "match_days"]
    {
        assert!(text.contains(words), "{words}: {text}");
    }
}

#[test]
fn a_sign_before_training_gives_no_programme_but_a_clinician() {
    let gym = Gym::new();
    let form = format!("name=Ida&{}", FORM.replace("signs=no", "signs=yes"));
    let to = gym.goes(&gym.post("/clients/new", &form));
    gym.made(&to);
    let (_, page) = gym.get(&to);
    assert!(page.contains("clinician") && page.contains("What clashes"), "{page}");
    assert!(!page.contains("Hand out"), "{page}");
    assert_eq!(gym.post(&format!("{to}/hand-out"), "").status(), StatusCode::UNPROCESSABLE_ENTITY);
}

#[test]
fn a_sheet_is_judged_and_nothing_is_kept() {
    let gym = Gym::new();
    let sheet = "sheet=day%2Cexercise%2Csets%2Creps%0A1%2Cback+squat%2C15%2C5%0A2%2Cdeadlift%2C15%2C5%0A";
    let (status, page) = gym.read(gym.post("/audit", sheet));
    assert_eq!(status, StatusCode::OK);
    assert!(page.contains("What was understood") && page.contains("A coach would not sign it"), "{page}");
    let (status, page) =
        gym.read(gym.post("/audit", "sheet=day%2Cexercise%2Csets%2Creps%0A1%2Cbakc+skwat%2C3%2C5%0A"));
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.contains("SW0"), "{page}");
    assert!(gym.get("/").1.contains("Nobody is in the ledger yet"));
}

#[test]
fn strangers_wrong_paths_and_large_bodies_are_refused() {
    let gym = Gym::new();
    let status = |request: Request<Body>| gym.send(request).status();
    let foreign = Request::get("/").header(header::HOST, "gym.example").body(Body::empty()).unwrap();
    assert_eq!(status(foreign), StatusCode::MISDIRECTED_REQUEST);
    let other_site = Request::post("/clients/new")
        .header(header::HOST, "localhost")
        .header("sec-fetch-site", "cross-site")
        .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
        .body(Body::from(format!("name=Ida&{FORM}")));
    assert_eq!(status(other_site.unwrap()), StatusCode::FORBIDDEN);
    assert!(gym.get("/").1.contains("Nobody is in the ledger yet"));
    for path in
        ["/nowhere", "/assets/../page.rs", "/assets/%2e%2e%2fsecret", "/clients/not-a-client", "/clients/%00"]
    {
        assert_eq!(gym.get(path).0, StatusCode::NOT_FOUND, "{path}");
    }
    let large = gym.post("/audit", &format!("sheet={}", "x".repeat(3_000_000)));
    assert_eq!(large.status(), StatusCode::PAYLOAD_TOO_LARGE);
    assert_eq!(gym.post("/exercises", "").status(), StatusCode::METHOD_NOT_ALLOWED);
}

#[test]
fn every_page_has_its_rules_and_first_loads_are_light() {
    let gym = Gym::new();
    let client = gym.newcomer("Ida");
    let programme = format!("{client}/programme");
    for path in [
        "/",
        &client,
        &programme,
        &format!("{client}/floor"),
        "/clients/new",
        "/audit",
        "/exercises",
        "/help",
        "/help?topic=SW001",
    ] {
        let request = Request::get(path)
            .header(header::HOST, "localhost")
            .header(header::ACCEPT_ENCODING, "gzip")
            .body(Body::empty())
            .unwrap();
        let answer = gym.send(request);
        assert_eq!(answer.status(), StatusCode::OK, "{path}");
        let policy = answer.headers()[header::CONTENT_SECURITY_POLICY].to_str().unwrap();
        assert!(policy.contains("default-src 'none'") && !policy.contains("unsafe"), "{policy}");
        let bytes = gym.bytes(answer);
        assert!(bytes.len() < 150_000 - 30_000, "{path}: {} bytes beside style and script", bytes.len());
        let page = gym.get(path).1;
        assert!(page.contains("<html lang=\"en-GB\">") && page.contains("<h1"), "{path}");
        assert!(!page.contains(" style=") && !page.contains(" onclick="), "{path}");
        let script = page.match_indices("<script").count();
        assert_eq!(script, page.match_indices("<script type=\"module\" src=\"/assets/").count(), "{path}");
    }
}

#[test]
fn advice_that_is_not_there_is_not_answered() {
    let gym = Gym::new();
    let client = gym.newcomer("Ida");
    let (status, page) = gym.read(gym.post(&format!("{client}/advice"), "key=chest-sessions&reply=accepted"));
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.contains("SW070"), "{page}");
}

/// The values of all buttons of a page that make a change.
fn makes(page: &str) -> Vec<String> {
    let parts = page.split("name=\"make\" value=\"").skip(1);
    parts.filter_map(|part| part.split_once('"').map(|(value, _)| value.to_owned())).collect()
}

#[test]
fn a_programme_is_edited_checked_at_once_undone_and_handed_out() {
    let gym = Gym::new();
    let path = gym.newcomer("Ida");
    let (status, page) = gym.get(&format!("{path}/edit"));
    assert_eq!(status, StatusCode::OK, "{page}");
    assert!(page.contains("0 changes") && page.contains("The check passes it"), "{page}");
    let more = makes(&page).into_iter().rfind(|m| m.starts_with("sets.0.0.0.")).unwrap();
    let on = page.split("name=\"on\" value=\"").nth(1).unwrap().split('"').next().unwrap().to_owned();

    let to = gym.goes(&gym.post(&format!("{path}/edit"), &format!("on={on}&e=&make={more}")));
    let (_, edited) = gym.get(&to);
    assert!(edited.contains("1 change;") && edited.contains("minutes instead of"), "{edited}");
    let undone = gym.goes(&gym.post(&format!("{path}/edit"), &format!("on={on}&e={more}&make=undo")));
    assert!(gym.get(&undone).1.contains("0 changes"));

    // What the check stands against is not handed out, whatever the page offered.
    let refused = gym.post(&format!("{path}/edit/hand-out"), &format!("on={on}&e=sets.0.0.0.20"));
    let (status, said) = gym.read(refused);
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(said.contains("SW"), "{said}");

    let longer = "rest.0.0.75";
    let to = gym.goes(&gym.post(&format!("{path}/edit/hand-out"), &format!("on={on}&e={longer}")));
    assert!(to.ends_with("/programme"));
    assert!(gym.get(&format!("{path}/edit")).1.contains("Rest 75 s"));
    let (status, said) = gym.get(&format!("{path}/edit?on={on}&e={longer}"));
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(said.contains("Another programme was handed out"), "{said}");
    for wrong in ["sets.9.9.9.1", "nonsense", "swap.0.0.0.no_such_lift"] {
        assert_eq!(gym.get(&format!("{path}/edit?e={wrong}")).0, StatusCode::UNPROCESSABLE_ENTITY, "{wrong}");
    }
    let (status, chosen) = gym.get(&format!("{path}/edit/choose?at=0.0.0"));
    assert_eq!(status, StatusCode::OK);
    assert!(chosen.contains("What changes least") && chosen.contains("swap.0.0.0."), "{chosen}");
    assert!(gym.get(&format!("{path}/edit/choose?at=0")).1.contains("add.0."));
    assert_eq!(gym.get(&format!("{path}/edit/choose?at=7.1.1")).0, StatusCode::UNPROCESSABLE_ENTITY);
}

#[test]
fn the_rest_is_planned_around_what_is_locked() {
    let gym = Gym::new();
    let path = gym.newcomer("Ida");
    let lock = "lock.0.0.0";
    let to = gym.goes(&gym.post(&format!("{path}/edit/solve"), &format!("on=&e={lock}")));
    gym.post(&format!("{to}/stop"), "");
    gym.made(&to);
    let (status, page) = gym.get(&to);
    assert_eq!(status, StatusCode::OK);
    assert!(page.contains("around your locks") && page.contains("Beside the one before"), "{page}");
    assert!(gym.goes(&gym.post(&format!("{to}/hand-out"), "")).ends_with("/programme"));
    assert!(gym.get(&to).1.contains("in force"));
    let edit = gym.get(&format!("{path}/edit")).1;
    assert!(edit.contains("aria-pressed=\"true\""), "the lock stays in the brief");
    assert_eq!(
        gym.get(&format!("{path}/making/00000000-0000-7000-8000-000000000000")).0,
        StatusCode::UNPROCESSABLE_ENTITY
    );
}

#[test]
fn a_curve_is_drawn_and_its_points_can_be_planned() {
    let gym = Gym::new();
    let path = gym.newcomer("Ida");
    let to = gym.goes(&gym.post(&format!("{path}/plan"), "what=curve"));
    gym.post(&format!("{to}/stop"), "");
    gym.made(&to);
    let (_, page) = gym.get(&to);
    assert!(
        page.contains("Plan a point")
            && page.contains("stopped before its end")
            && page.contains("name=\"change\""),
        "{page}"
    );
    let to = gym.goes(&gym.post(&format!("{path}/plan"), "what=plan&change=-5"));
    gym.post(&format!("{to}/stop"), "");
    gym.made(&to);
    assert!(gym.get(&to).1.contains("sessions 5 minutes shorter"));
    for wrong in ["minutes=lots", "minutes=3", "change=-500", "minutes=NaN"] {
        let answer = gym.post(&format!("{path}/plan"), &format!("what=plan&{wrong}"));
        assert_eq!(answer.status(), StatusCode::UNPROCESSABLE_ENTITY, "{wrong}");
    }
    let to = gym.goes(&gym.post(&format!("{path}/plan"), "what=other"));
    gym.post(&format!("{to}/stop"), "");
    gym.made(&to);
    assert!(gym.get(&to).1.contains("every set straight"));
}

#[test]
fn a_brief_is_read_answered_and_changed_as_text() {
    let gym = Gym::new();
    let path = gym.newcomer("Ida");
    let (status, page) = gym.get(&format!("{path}/brief"));
    assert_eq!(status, StatusCode::OK);
    for part in
        ["Brief of", "2 sessions in 7 days, 45 minutes each", "Before training", "goal = &quot;general&quot;"]
    {
        assert!(page.contains(part), "{part} in {page}");
    }
    let text = |minutes: &str| {
        let toml = format!(
            "name = \"Ida\"\ngoal = \"general\"\ntraining_age = \"beginner\"\n[time]\nsessions = 2\nminutes = {minutes}\n"
        );
        format!("text={}", coded(&toml))
    };
    let (status, page) = gym.read(gym.post(&format!("{path}/brief"), &text("\"long\"")));
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.contains("role=\"alert\"") && page.contains("minutes = &quot;long&quot;"), "{page}");
    gym.goes(&gym.post(&format!("{path}/brief"), &text("50")));
    assert!(gym.get(&format!("{path}/brief")).1.contains("50 minutes each"));

    gym.goes(&gym.post(&format!("{path}/screening"), "active=no&known_disease=no&signs=yes&other=no"));
    assert!(gym.get(&format!("{path}/brief")).1.contains("class=\"clash\""));
    gym.goes(&gym.post(&format!("{path}/card"), "name=Ida+Oak&about=Tall.&away=yes"));
    assert!(gym.get(&format!("{path}/brief")).1.contains("Ida Oak"));
    assert!(!gym.get("/").1.contains("Ida Oak"), "who trains no more is not on the roster");
}

#[test]
fn a_plan_that_is_refused_leaves_no_half_made_client() {
    let folder = TempDir::new().unwrap();
    let ledger = folder.path().join("ledger.sqlite3");
    let app = open(&ledger);
    let machine = machine("2026-11-27T09:00:00+01:00");
    let mut uow = UnitOfWork::open(&ledger, Opening::Existing, &machine).unwrap();
    let rooms: Vec<Reservation> = std::iter::from_fn(|| app.practice().room(&uow).ok()).take(100).collect();
    let pages = Pages::of(app);
    let form = format!("name=Ida&{FORM}");
    let (_, refused) = pages.read(pages.post("/clients/new", &form));
    assert!(refused.contains("in the making already") && refused.contains("value=\"Ida\""), "{refused}");
    assert_eq!(clients::list(&mut uow).unwrap(), []);
    drop(rooms);
    pages.made(&pages.goes(&pages.post("/clients/new", &form)));
    assert_eq!(clients::list(&mut uow).unwrap().len(), 1);
}
