//! What somebody does with their own account over a network: where they are signed in, another password, one-time codes; and what the owner
//! reads of who came.

use super::pages::machine;
use super::sign_in::{FORM, Gym, HOST, NOW, cookie, to};
use axum::body::Body;
use axum::http::{Request, Response, StatusCode, header};
use setwright_coaching::people::accounts::Book;
use setwright_coaching::people::{common, secrets};
use setwright_store::{AccountRole, Deed, Entry, RecordFilter};
use std::collections::BTreeSet;
use totp_rs::{Algorithm, Builder, Secret};

const PASSWORD: &str = "four plain words here";

/// Gives an account the password of these tests, by a link.
fn with_password(book: &mut Book, name: &str) {
    let account = book.named(name).unwrap();
    let link = book.link(&account, 1).unwrap();
    let hash = secrets::hash(PASSWORD, "salt of no account").unwrap();
    let trace = book.trace("");
    let link = setwright_coaching::people::accounts::digest(&link);
    book.accounts.use_link(link, &hash, &trace).unwrap().unwrap();
}

/// Signs in from a browser that has this session, or none; behind no proxy that anybody named.
fn enter(gym: &Gym, name: &str, password: &str, had: &str) -> Response<Body> {
    let request = Request::post("/login").header(header::HOST, HOST).header("sec-fetch-site", "same-origin");
    let request = request.header(header::CONTENT_TYPE, FORM).header(header::USER_AGENT, "Firefox on Linux");
    let request = request.header(header::COOKIE, format!("__Host-session={had}"));
    gym.send(
        request.body(Body::from(format!("name={name}&password={}", password.replace(' ', "+")))).unwrap(),
    )
}

/// A gym in which ben and ada have a password.
fn gym() -> Gym {
    let gym = Gym::new();
    let mut book = gym.book();
    with_password(&mut book, "ben");
    with_password(&mut book, "ada");
    gym
}

fn told(gym: &Gym) -> Vec<Entry> {
    gym.book().accounts.recorded(&RecordFilter::default(), 0, 1_000).unwrap()
}

fn deeds(gym: &Gym, of: &str) -> Vec<Deed> {
    told(gym).into_iter().rev().filter(|entry| entry.account.as_deref() == Some(of)).map(|e| e.deed).collect()
}

#[test]
fn a_new_sign_in_ends_the_session_that_the_browser_had() {
    let gym = gym();
    let first = cookie(&enter(&gym, "ben", PASSWORD, ""));
    let elsewhere = cookie(&enter(&gym, "ben", PASSWORD, ""));
    assert_eq!(enter(&gym, "ben", "wrong words", &first).status(), StatusCode::UNAUTHORIZED);
    assert_eq!(gym.get("/help", &first).status(), StatusCode::OK, "a wrong password ends nothing");
    // Somebody else on the same browser.
    let second = cookie(&enter(&gym, "ada", PASSWORD, &first));
    assert_eq!(to(&gym.get("/help", &first)), "/login?to=/help");
    for still in [&second, &elsewhere] {
        assert_eq!(gym.get("/help", still).status(), StatusCode::OK);
    }
}

#[test]
fn one_sees_where_one_is_signed_in_and_ends_it_there() {
    let gym = gym();
    let [here, phone, desk] = [(); 3].map(|()| cookie(&enter(&gym, "ben", PASSWORD, "")));
    let of_ada = cookie(&enter(&gym, "ada", PASSWORD, ""));
    let page = gym.text(gym.get("/account", &here));
    assert_eq!(page.matches("Firefox, Linux</td>").count(), 3, "{page}");
    assert!(page.contains("0.0.0.0") && page.contains("Fri 27 Nov, 09:00") && page.contains("<td>here</td>"));
    for token in [&here, &phone, &of_ada] {
        assert!(!page.contains(token.as_str()), "no token is on a page");
    }
    let digest = |token: &str| setwright_coaching::people::accounts::digest(token).to_string();
    assert_eq!(
        to(&gym.post("/account/end", &here, &format!("session={}", digest(&phone)))),
        "/account?after=ended"
    );
    assert_eq!(to(&gym.get("/help", &phone)), "/login?to=/help");
    // Nobody ends another's.
    gym.post("/account/end", &here, &format!("session={}", digest(&of_ada)));
    assert_eq!(gym.get("/help", &of_ada).status(), StatusCode::OK);
    gym.post("/account/end", &here, "session=others");
    assert_eq!(to(&gym.get("/help", &desk)), "/login?to=/help");
    assert_eq!(gym.get("/help", &here).status(), StatusCode::OK);
    assert!(deeds(&gym, "ben").ends_with(&[Deed::Ended, Deed::EndedAll]));
}

#[test]
fn another_password_is_chosen_by_page_and_ends_every_other_session() {
    let gym = gym();
    let [here, other] = [(); 2].map(|()| cookie(&enter(&gym, "ben", PASSWORD, "")));
    let change = |now: &str, new: &str, again: &str| {
        let form = format!("password={now}&new={new}&again={again}").replace(' ', "+");
        gym.post("/account/password", &here, &form)
    };
    let refused = |answer: Response<Body>, says: &str| {
        assert_eq!(answer.status(), StatusCode::UNPROCESSABLE_ENTITY);
        let page = gym.text(answer);
        assert!(page.contains(says) && !page.contains("words here"), "{says}: {page}");
    };
    refused(change("other words", "three quiet anvils", "three quiet anvils"), "not right");
    refused(change(PASSWORD, "three quiet anvils", "three quiet hammers"), "not the same");
    refused(change(PASSWORD, "short", "short"), "15 to 128 letters");
    let common = "Password ben 2026 Password";
    assert!(common::refuse(common, "ben").is_err());
    refused(change(PASSWORD, common, common), "tried first");
    assert_eq!(gym.get("/help", &other).status(), StatusCode::OK, "nothing was changed");
    assert_eq!(to(&change(PASSWORD, "three quiet anvils", "three quiet anvils")), "/account?after=password");
    assert_eq!(to(&gym.get("/help", &other)), "/login?to=/help");
    assert_eq!(gym.get("/help", &here).status(), StatusCode::OK);
    assert_eq!(enter(&gym, "ben", PASSWORD, "").status(), StatusCode::UNAUTHORIZED);
    cookie(&enter(&gym, "ben", "three quiet anvils", ""));
    assert!(deeds(&gym, "ben").contains(&Deed::PasswordChanged));
    // Guessing the password that is in force is as slow as at the door.
    let waits = (0..12).map(|_| change("wrong words", "three quiet anvils", "three quiet anvils").status());
    assert!(waits.into_iter().any(|status| status == StatusCode::TOO_MANY_REQUESTS));
}

/// What the app of an account shows, so many half minutes from now.
fn code_of(gym: &Gym, name: &str, steps: i64) -> String {
    let mut book = gym.book();
    let id = book.named(name).unwrap().id;
    let secret = book.accounts.secret(id).unwrap().unwrap().bytes;
    let builder = Builder::new().with_algorithm(Algorithm::SHA1).with_digits(6).with_step_duration(30);
    let app = builder.with_secret(Secret::from(secret)).build().unwrap();
    app.generate(u64::try_from(book.now_ms() / 1_000 + 30 * steps).unwrap()).to_string()
}

/// Turns one-time codes on for whoever has this session; the recovery codes.
fn turn_on(gym: &Gym, name: &str, session: &str) -> Vec<String> {
    let form = format!("password={}", PASSWORD.replace(' ', "+"));
    assert_eq!(to(&gym.post("/account/codes/new", session, &form)), "/account/codes");
    let shown = gym.text(gym.post("/account/codes", session, &format!("code={}", code_of(gym, name, -1))));
    let codes = shown.split("<li><code>").skip(1).map(|part| part.split('<').next().unwrap().to_owned());
    codes.collect()
}

/// The second step that a page asks for after a right password.
fn step(gym: &Gym, name: &str) -> String {
    let answer = enter(gym, name, PASSWORD, "");
    assert_eq!(answer.status(), StatusCode::OK);
    assert!(!answer.headers().contains_key(header::SET_COOKIE), "a password alone opens nothing");
    let page = gym.text(answer);
    page.split_once("name=\"step\" value=\"").unwrap().1.split_once('"').unwrap().0.to_owned()
}

#[test]
fn a_code_is_asked_for_when_it_is_set_up_and_each_is_good_once() {
    let gym = gym();
    let [here, other] = [(); 2].map(|()| cookie(&enter(&gym, "ben", PASSWORD, "")));
    let wrong = gym.post("/account/codes/new", &here, "password=wrong+words");
    assert_eq!(wrong.status(), StatusCode::UNPROCESSABLE_ENTITY, "the password is asked for");
    gym.post("/account/codes/new", &here, &format!("password={}", PASSWORD.replace(' ', "+")));
    let page = gym.text(gym.get("/account/codes", &here));
    assert!(page.contains("otpauth://totp/Setwright:ben?secret=") && page.contains("class=\"qr\""), "{page}");
    let not_right = gym.post("/account/codes", &here, "code=000000");
    assert_eq!(not_right.status(), StatusCode::UNPROCESSABLE_ENTITY);
    cookie(&enter(&gym, "ben", PASSWORD, ""));
    let recovery = turn_on(&gym, "ben", &here);
    assert_eq!(recovery.iter().collect::<BTreeSet<_>>().len(), 10, "{recovery:?}");
    assert_eq!(to(&gym.get("/help", &other)), "/login?to=/help", "it was begun without a code");
    assert_eq!(gym.get("/help", &here).status(), StatusCode::OK);

    let give =
        |step: &str, code: &str| gym.post("/login/code", "", &format!("step={step}&code={code}&to=/help"));
    let at_the_door = step(&gym, "ben");
    for wrong in ["000000", &code_of(&gym, "ben", -1), &code_of(&gym, "ben", 3)] {
        let answer = give(&at_the_door, wrong);
        assert_eq!(answer.status(), StatusCode::UNAUTHORIZED, "{wrong}");
        assert!(gym.text(answer).contains("SW079"));
    }
    let now = code_of(&gym, "ben", 0);
    let entered = give(&at_the_door, &now);
    assert_eq!(to(&entered), "/help");
    assert_eq!(gym.get("/help", &cookie(&entered)).status(), StatusCode::OK);
    assert_eq!(
        give(&at_the_door, &code_of(&gym, "ben", 1)).status(),
        StatusCode::UNAUTHORIZED,
        "that step is done"
    );
    assert_eq!(give(&step(&gym, "ben"), &now).status(), StatusCode::UNAUTHORIZED, "each code once");
    assert_eq!(give("", &code_of(&gym, "ben", 1)).status(), StatusCode::UNAUTHORIZED);
    let typed = recovery[3].to_uppercase().replace('-', "+");
    assert_eq!(to(&give(&step(&gym, "ben"), &typed)), "/help");
    assert_eq!(
        give(&step(&gym, "ben"), &recovery[3]).status(),
        StatusCode::UNAUTHORIZED,
        "and each recovery code"
    );
    let left = gym.text(gym.get("/account/codes", &here));
    assert!(left.contains("9 recovery codes are left"), "{left}");
    let off = format!("password={}&code={}", PASSWORD.replace(' ', "+"), recovery[0]);
    assert_eq!(to(&gym.post("/account/codes/off", &here, &off)), "/account?after=off");
    cookie(&enter(&gym, "ben", PASSWORD, ""));
    let deeds = deeds(&gym, "ben");
    for deed in [Deed::CodesOn, Deed::WrongCode, Deed::RecoveryUsed, Deed::CodesOff] {
        assert!(deeds.contains(&deed), "{deed:?} in {deeds:?}");
    }
}

#[test]
fn codes_are_guessed_as_slowly_as_passwords_and_a_right_password_does_not_help() {
    let gym = gym();
    turn_on(&gym, "ben", &cookie(&enter(&gym, "ben", PASSWORD, "")));
    let guess = || {
        let step = step(&gym, "ben");
        gym.post("/login/code", "", &format!("step={step}&code=000000")).status()
    };
    let guessed: Vec<StatusCode> = (0..7).map(|_| guess()).collect();
    assert_eq!(guessed[..5], [StatusCode::UNAUTHORIZED; 5]);
    assert!(guessed[5..].contains(&StatusCode::TOO_MANY_REQUESTS), "{guessed:?}");
}

#[test]
fn whoever_has_to_have_codes_sets_them_up_before_anything_else() {
    let gym = gym();
    let mut book = gym.book();
    let trace = book.trace("");
    book.accounts.require(AccountRole::Owner, true, &trace).unwrap();
    let ada = cookie(&enter(&gym, "ada", PASSWORD, ""));
    assert_eq!(to(&gym.get("/", &ada)), "/account/codes");
    for denied in ["/api/v1/roster", &format!("/api/v1/clients/{}", gym.ida)] {
        let answer = gym.get(denied, &ada);
        assert_eq!(answer.status(), StatusCode::FORBIDDEN);
        assert!(gym.text(answer).contains("SW096"));
    }
    let form = gym.post(&format!("/clients/{}/card", gym.ida), &ada, "name=Ida&about=&away=no");
    assert_eq!(form.status(), StatusCode::FORBIDDEN);
    assert!(gym.text(gym.get("/account/codes", &ada)).contains("Set them up to go on"));
    assert_eq!(gym.get("/help", "ben").status(), StatusCode::SEE_OTHER, "the link ended what ben had");
    let ben = cookie(&enter(&gym, "ben", PASSWORD, ""));
    assert_eq!(gym.get("/help", &ben).status(), StatusCode::OK, "of owners alone");
    let recovery = turn_on(&gym, "ada", &ada);
    assert_eq!(gym.get("/", &ada).status(), StatusCode::OK);
    let off = format!("password={}&code={}", PASSWORD.replace(' ', "+"), recovery[0]);
    assert_eq!(gym.post("/account/codes/off", &ada, &off).status(), StatusCode::FORBIDDEN);
}

#[test]
fn the_owner_reads_who_came_from_where_and_who_saw_whom() {
    let gym = gym();
    enter(&gym, "ben", "wrong words", "");
    enter(&gym, "a password in the wrong field", "x", "");
    let ben = cookie(&enter(&gym, "ben", PASSWORD, ""));
    for _ in 0..3 {
        assert_eq!(gym.get(&format!("/clients/{}", gym.ida), &ben).status(), StatusCode::OK);
    }
    assert_eq!(gym.get(&format!("/api/v1/clients/{}/floor", gym.ida), "ida").status().as_u16() / 100, 4);
    assert_eq!(gym.get(&format!("/clients/{}", gym.ida), "cy").status(), StatusCode::NOT_FOUND);
    gym.post("/logout", &ben, "");
    let seen: Vec<Entry> = told(&gym).into_iter().filter(|entry| entry.client.is_some()).collect();
    assert_eq!(seen.len(), 1, "once an hour, and only what was shown: {seen:?}");
    assert_eq!((seen[0].deed, seen[0].account.as_deref()), (Deed::SawClient, Some("ben")));
    assert_eq!((seen[0].client, seen[0].trace.place.as_str()), (Some(gym.ida), "0.0.0.0"));
    let of_nobody: Vec<Entry> = told(&gym).into_iter().filter(|entry| entry.account.is_none()).collect();
    assert_eq!(of_nobody.iter().map(|entry| entry.deed).collect::<Vec<_>>(), [Deed::WrongPassword]);
    let ada = cookie(&enter(&gym, "ada", PASSWORD, ""));
    let page = gym.text(gym.get("/record", &ada));
    for part in
        ["saw a client", "Ida", "gave a wrong password", "signed in", "signed out", "27 Nov 2026", "0.0.0.0"]
    {
        assert!(page.contains(part), "{part} in {page}");
    }
    assert!(!page.contains("wrong field"), "what was typed for a name may be a password");
    let changes = gym.text(gym.get("/record?account=ben&only=changes", &ada));
    assert!(
        !changes.contains("<td>saw a client</td>") && changes.contains("<td>signed in</td>"),
        "{changes}"
    );
    assert_eq!(
        gym.get("/record?page=18446744073709551615&account=%00&client=x", &ada).status(),
        StatusCode::OK
    );
    let refusals = gym.refusals.all().join("\n");
    assert!(!refusals.contains("wrong field") && !refusals.contains("0.0.0.0"), "{refusals}");
}

#[test]
fn a_browser_is_told_to_come_by_safe_connections_and_to_clear_what_it_has_but_not_what_is_not_sent() {
    let gym = Gym::new();
    for path in ["/login", "/help", "/nowhere"] {
        let answer = gym.get(path, "ben");
        assert_eq!(answer.headers()[header::STRICT_TRANSPORT_SECURITY], "max-age=15552000", "{path}");
    }
    let out = gym.post("/logout", "ben", "");
    assert_eq!(out.headers()["clear-site-data"], "\"cache\"", "storage holds sets that are not sent yet");
    assert!(!gym.get("/login", "").headers().contains_key("clear-site-data"));
    let here = super::pages::Pages::on(&gym.ledger());
    let request = Request::get("/").header(header::HOST, "localhost").body(Body::empty()).unwrap();
    assert!(!here.send(request).headers().contains_key(header::STRICT_TRANSPORT_SECURITY), "without TLS");
}

#[test]
fn a_plan_of_who_is_shut_out_meanwhile_is_given_up_and_not_handed_out() {
    let gym = Gym::new();
    let form = "name=Eva&goal=general&training_age=beginner&sessions=2&minutes=45&cycle_days=7&days=1%2C4&place=full_gym&\
                age=34&mass_kg=70&active=yes&known_disease=no&signs=no&other=no";
    let making = to(&gym.post("/clients/new", "ben", form)).to_owned();
    let mut book = Book::open(&gym.ledger(), setwright_store::Opening::Existing, &machine(NOW)).unwrap();
    let (ben, trace) = (book.named("ben").unwrap(), book.trace(""));
    book.accounts.shut(ben.id, true, &trace).unwrap();
    let news = gym.text(gym.get(&format!("{making}/news"), "ada"));
    assert!(news.contains("\"open\":false"), "{news}");
    let page = gym.text(gym.get(&making, "ada"));
    assert!(page.contains("was shut"), "{page}");
    let path = making.split_once("/making/").unwrap().0;
    let programme = gym.get(&format!("/api/v1{path}/programme"), "ada");
    assert_ne!(programme.status(), StatusCode::OK, "nothing was handed out");
}
