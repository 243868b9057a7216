//! A safe connection from certificate files. Each handshake has its own task and its own limit of time, so that one who is slow
//! holds up nobody.

use crate::http::permits::ConnectionPermits;
use crate::http::proxy::Proxies;
use crate::http::timeouts::ConnectionTimeouts;
use axum::extract::connect_info::Connected;
use axum::serve::{IncomingStream, Listener};
use setwright_model::code::Code;
use setwright_model::refusal::Refusal;
use std::io;
use std::net::SocketAddr;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::mpsc;
use tokio_rustls::TlsAcceptor;
use tokio_rustls::rustls::ServerConfig;
use tokio_rustls::rustls::crypto::ring;
use tokio_rustls::rustls::pki_types::pem::PemObject;
use tokio_rustls::rustls::pki_types::{CertificateDer, PrivateKeyDer};
use tokio_rustls::server::TlsStream;

/// Seconds in which a connection must have become safe (judgement).
const HANDSHAKE_S: u64 = 10;
/// Handshakes at once, and from one address (judgement).
const HANDSHAKES: usize = 64;
const OF_ONE_ADDRESS: usize = 32;
/// Pause after the system refused a connection: it may be out of file handles (judgement).
const PAUSE_MS: u64 = 100;

/// Where to listen, and with which certificate.
#[derive(Clone, Debug)]
pub struct Listen {
    /// Address and port.
    pub at: SocketAddr,
    /// The certificate with those that vouch for it, as PEM.
    pub cert: PathBuf,
    /// Its private key, as PEM.
    pub key: PathBuf,
    /// What stands in front of it.
    pub proxies: Proxies,
}

/// Who is at the other end of a connection.
#[derive(Clone, Copy, Debug)]
pub struct Peer(pub SocketAddr);

impl Connected<IncomingStream<'_, ConnectionTimeouts<Safe>>> for Peer {
    fn connect_info(stream: IncomingStream<'_, ConnectionTimeouts<Safe>>) -> Self {
        Self(*stream.remote_addr())
    }
}

/// Connections that have become safe.
pub struct Safe {
    arrived: mpsc::Receiver<(TlsStream<TcpStream>, SocketAddr)>,
    at: SocketAddr,
}

impl Listener for Safe {
    type Io = TlsStream<TcpStream>;
    type Addr = SocketAddr;

    async fn accept(&mut self) -> (Self::Io, Self::Addr) {
        match self.arrived.recv().await {
            Some(arrived) => arrived,
            // Who accepts went with the runtime; nobody comes any more.
            None => std::future::pending().await,
        }
    }

    fn local_addr(&self) -> io::Result<Self::Addr> {
        Ok(self.at)
    }
}

/// Begins to listen.
///
/// # Errors
/// A certificate or key that cannot be used, or an address that is not to be had.
pub async fn listen(how: &Listen) -> Result<Safe, Refusal> {
    let acceptor = acceptor(&how.cert, &how.key)?;
    let taken = |error: io::Error| {
        let what = format!("Pages cannot be served at {}: {error}.", how.at);
        Refusal::new(Code::CannotServe, what, "Give an address of this machine and a free port.")
    };
    let listener = TcpListener::bind(how.at).await.map_err(taken)?;
    let at = listener.local_addr().map_err(taken)?;
    let (done, arrived) = mpsc::channel(HANDSHAKES);
    let permits = ConnectionPermits::new(HANDSHAKES, OF_ONE_ADDRESS, how.proxies.clone());
    tokio::spawn(accept_all(listener, acceptor, permits, done));
    Ok(Safe { arrived, at })
}

async fn accept_all(
    listener: TcpListener,
    acceptor: TlsAcceptor,
    permits: Arc<ConnectionPermits>,
    done: mpsc::Sender<(TlsStream<TcpStream>, SocketAddr)>,
) {
    loop {
        let Ok((stream, peer)) = listener.accept().await else {
            tokio::time::sleep(Duration::from_millis(PAUSE_MS)).await;
            continue;
        };
        let Some(mut permit) = permits.take(peer.ip()) else { continue };
        let (acceptor, done) = (acceptor.clone(), done.clone());
        tokio::spawn(async move {
            let limit = Duration::from_secs(HANDSHAKE_S);
            tokio::select! {
                // Others wait, and this one has said nothing for longest.
                () = permit.cut() => {}
                safe = tokio::time::timeout(limit, acceptor.accept(stream)) => {
                    permit.set_idle(false);
                    if let Ok(Ok(stream)) = safe {
                        let _ = done.send((stream, peer)).await;
                    }
                }
            }
        });
    }
}

fn acceptor(cert: &Path, key: &Path) -> Result<TlsAcceptor, Refusal> {
    let unfit = |what: String| {
        let hint =
            "Give the certificate with its chain after --cert and its private key after --key, both as PEM.";
        Refusal::new(Code::CannotServe, what, hint)
    };
    let chain = CertificateDer::pem_file_iter(cert).and_then(Iterator::collect::<Result<Vec<_>, _>>);
    let chain = chain.map_err(|e| unfit(format!("{} is no certificate: {e}.", cert.display())))?;
    if chain.is_empty() {
        return Err(unfit(format!("There is no certificate in {}.", cert.display())));
    }
    let secret = PrivateKeyDer::from_pem_file(key)
        .map_err(|e| unfit(format!("{} is no private key: {e}.", key.display())))?;
    let config = ServerConfig::builder_with_provider(Arc::new(ring::default_provider()))
        .with_safe_default_protocol_versions()
        .and_then(|config| config.with_no_client_auth().with_single_cert(chain, secret))
        .map_err(|e| unfit(format!("Certificate and key cannot be used: {e}.")))?;
    Ok(TlsAcceptor::from(Arc::new(config)))
}
