//! `serve --listen` (with a certificate made for these tests, whose key is no secret): what it asks for before it opens to a network, and that it then speaks TLS and nothing else.

use super::kit::{root, serving};
use super::ledger::Coach;
use std::io::{Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::process::{Child, Command};
use std::sync::Arc;
use std::time::Duration;
use tokio_rustls::rustls::crypto::ring;
use tokio_rustls::rustls::pki_types::pem::PemObject;
use tokio_rustls::rustls::pki_types::{CertificateDer, ServerName};
use tokio_rustls::rustls::{ClientConfig, ClientConnection, RootCertStore, StreamOwned};

/// The path of a file for TLS, made for tests.
pub fn pem(name: &str) -> String {
    root().join("crates/cli/tests/all/tls").join(name).display().to_string()
}

#[test]
fn a_network_is_refused_without_certificate_without_account_and_with_a_wrong_key() {
    let coach = Coach::of_mara();
    let (cert, key) = (pem("cert.pem"), pem("key.pem"));
    let bare = coach.run(&["serve", "--listen", "0.0.0.0:0", "--no-open"]);
    assert!(
        bare.code == 2 && bare.talk.contains("SW072") && bare.talk.contains("certificate"),
        "{}",
        bare.talk
    );
    let whole = |cert: &str, key: &str| {
        coach.run(&["serve", "--listen", "127.0.0.1:0", "--no-open", "--cert", cert, "--key", key])
    };
    let nobody = whole(&cert, &key);
    assert!(nobody.code == 2 && nobody.talk.contains("account"), "{}", nobody.talk);
    coach.done(&["account", "add", "Ada", "--role", "owner"]);
    for (cert, key) in [(&key, &cert), (&cert, &cert), (&pem("none.pem"), &key)] {
        let unfit = whole(cert, key);
        assert!(unfit.code == 2 && unfit.talk.contains("SW072"), "{}", unfit.talk);
    }
    coach.done(&["account", "disable", "ada"]);
    assert_eq!(whole(&cert, &key).code, 2, "no account is open");
}

struct Served(Child);

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

fn serve(coach: &Coach) -> (Served, SocketAddr) {
    serve_with(coach, &[])
}

fn serve_with(coach: &Coach, more: &[&str]) -> (Served, SocketAddr) {
    let mut serve = Command::new(env!("CARGO_BIN_EXE_setwright"));
    serve.args(["serve", "--listen", "127.0.0.1:0", "--cert", &pem("cert.pem"), "--key", &pem("key.pem")]);
    serve.args(more);
    serve.env("SETWRIGHT_LEDGER", coach.at("ledger.sqlite3"));
    let (child, address) = serving(serve);
    (Served(child), address.parse().unwrap())
}

fn ask(at: SocketAddr, path: &str) -> String {
    send(at, &format!("GET {path} HTTP/1.1\r\nhost: localhost\r\nconnection: close\r\n\r\n"))
}

/// The answer to a request over TLS, as it came.
pub fn send(at: SocketAddr, request: &str) -> String {
    let mut stream = safe(at);
    stream.write_all(request.as_bytes()).unwrap();
    let mut answer = Vec::new();
    // A peer that closes without a farewell has said all there is.
    let _ = stream.read_to_end(&mut answer);
    String::from_utf8_lossy(&answer).into_owned()
}

/// A connection that becomes safe as soon as something is written.
fn safe(at: SocketAddr) -> StreamOwned<ClientConnection, TcpStream> {
    let mut roots = RootCertStore::empty();
    roots.add(CertificateDer::from_pem_file(pem("cert.pem")).unwrap()).unwrap();
    let config = ClientConfig::builder_with_provider(Arc::new(ring::default_provider()))
        .with_safe_default_protocol_versions()
        .unwrap()
        .with_root_certificates(roots)
        .with_no_client_auth();
    let name = ServerName::try_from("localhost").unwrap();
    let connection = ClientConnection::new(Arc::new(config), name).unwrap();
    StreamOwned::new(connection, TcpStream::connect(at).unwrap())
}

#[test]
fn pages_come_by_tls_and_only_to_who_signed_in() {
    let coach = Coach::of_mara();
    coach.done(&["account", "add", "Ada", "--role", "owner"]);
    let (_served, at) = serve(&coach);
    let sent = ask(at, "/");
    assert!(sent.starts_with("HTTP/1.1 303") && sent.contains("location: /login"), "{sent}");
    let login = ask(at, "/login");
    assert!(login.starts_with("HTTP/1.1 200") && login.contains("Sign in"), "{login}");
    for rule in [
        "content-security-policy: default-src 'none'",
        "cache-control: no-store",
        "x-content-type-options: nosniff",
    ] {
        assert!(login.contains(rule), "{rule} in {login}");
    }
    // Somebody who says nothing, or speaks plainly, holds up nobody.
    let silent: Vec<TcpStream> = (0..8).map(|_| TcpStream::connect(at).unwrap()).collect();
    let mut plain = TcpStream::connect(at).unwrap();
    plain.set_read_timeout(Some(Duration::from_secs(30))).unwrap();
    plain.write_all(b"GET / HTTP/1.1\r\nhost: localhost\r\n\r\n").unwrap();
    let mut said = Vec::new();
    let _ = plain.read_to_end(&mut said);
    assert!(!String::from_utf8_lossy(&said).contains("HTTP/1.1"), "{said:?}");
    assert!(ask(at, "/login").starts_with("HTTP/1.1 200"));
    drop(silent);
}

#[test]
fn who_says_nothing_over_hundreds_of_connections_keeps_nobody_waiting() {
    let coach = Coach::of_mara();
    coach.done(&["account", "add", "Ada", "--role", "owner"]);
    let (_served, at) = serve(&coach);
    let mut silent = Vec::new();
    for _ in 0..300 {
        let mut stream = safe(at);
        // The handshake is done, and then nothing comes.
        while stream.conn.is_handshaking() && stream.conn.complete_io(&mut stream.sock).is_ok() {}
        silent.push(stream);
    }
    let idle: Vec<TcpStream> = (0..500).map(|_| TcpStream::connect(at).unwrap()).collect();
    let watch = setwright::clock::wall().stopwatch();
    let sent = ask(at, "/login");
    let took_s = watch.elapsed().get();
    assert!(sent.starts_with("HTTP/1.1 200"), "{sent}");
    assert!(
        took_s < 1.0,
        "{took_s} s beside {} silent connections and {} handshakes",
        silent.len(),
        idle.len()
    );
}

/// Tries wrong passwords for ever other names until one has to wait, thirty at most; `header` makes the line for each.
fn guesses_until_refused(at: SocketAddr, header: impl Fn(u8) -> String) -> Option<u8> {
    (0..30).find(|nth| guess(at, *nth, &header(*nth)).starts_with("HTTP/1.1 429"))
}

fn guess(at: SocketAddr, nth: u8, header: &str) -> String {
    let form = format!("name=nobody+{nth}&password=wrong");
    let kind = "content-type: application/x-www-form-urlencoded";
    let head =
        format!("POST /login HTTP/1.1\r\nhost: localhost\r\nconnection: close\r\n{kind}\r\n{header}\r\n");
    send(at, &format!("{head}content-length: {}\r\n\r\n{form}", form.len()))
}

#[test]
fn where_a_request_comes_from_is_told_by_the_proxy_that_the_owner_named_and_by_nobody_else() {
    let coach = Coach::of_mara();
    coach.done(&["account", "add", "Ada", "--role", "owner"]);
    let (direct, at) = serve(&coach);
    let forged = guesses_until_refused(at, |nth| format!("x-forwarded-for: 192.0.2.{nth}"));
    assert!(forged.is_some(), "a forged address is not believed");
    drop(direct);
    let (_behind, at) = serve_with(&coach, &["--proxy", "127.0.0.1"]);
    let one = guesses_until_refused(at, |nth| format!("x-forwarded-for: 203.0.113.{nth}, 192.0.2.1"));
    assert!(one.is_some(), "whoever the proxy names waits, whatever they wrote before");
    let other = guess(at, 0, "x-forwarded-for: 192.0.2.2");
    assert!(other.starts_with("HTTP/1.1 401"), "{other}");
}

#[test]
fn a_proxy_is_for_a_network_and_a_header_for_a_proxy() {
    let coach = Coach::of_mara();
    for wrong in [&["--proxy", "127.0.0.1"][..], &["--listen", "127.0.0.1:0", "--address-in", "forwarded"]] {
        let said = coach.run(&[&["serve", "--no-open"], wrong].concat());
        assert_eq!(said.code, 2, "{}", said.talk);
    }
}
