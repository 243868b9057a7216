//! Limits of time for connections: a head must arrive soon, a request must have an answer begun, and nobody keeps an idle or
//! stuck connection for ever. It wraps whatever listens and knows nothing of pages.

use super::permits::{ConnectionPermit, ConnectionPermits};
use super::proxy::Proxies;
use axum::serve::Listener;
use std::io;
use std::net::SocketAddr;
use std::pin::Pin;
use std::sync::Arc;
use std::task::{Context, Poll, ready};
use std::time::Duration;
use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::time::{Sleep, sleep};
use tracing::dispatcher::{get_default, with_default};
use tracing::{Dispatch, info};

/// Connections at once, and from one address (judgement: a gym has tens of devices with a few each, and they may all come from one).
const CONNECTIONS: usize = 512;
const OF_ONE_ADDRESS: usize = 256;
/// What ends the head of a request.
const HEAD_END: &[u8; 4] = b"\r\n\r\n";

/// Seconds that are waited.
#[derive(Clone, Copy, Debug)]
pub struct TimeoutLimits {
    /// From the first byte of a head to its last.
    pub head: Duration,
    /// From the end of a head to the first byte of the answer: the body, and the work.
    pub answer: Duration,
    /// Without anything being read or written.
    pub idle: Duration,
}

/// A listener that cuts who is too slow, and says so to the log of whoever made it.
pub struct ConnectionTimeouts<L> {
    listener: L,
    limits: TimeoutLimits,
    log: Dispatch,
    permits: Arc<ConnectionPermits>,
}

impl<L> ConnectionTimeouts<L> {
    /// Wraps a listener.
    pub fn new(listener: L, limits: TimeoutLimits) -> Self {
        let permits = ConnectionPermits::new(CONNECTIONS, OF_ONE_ADDRESS, Proxies::default());
        Self { listener, limits, log: get_default(Clone::clone), permits }
    }

    /// Stands behind these proxies.
    #[must_use]
    pub fn behind(self, proxies: Proxies) -> Self {
        Self { permits: ConnectionPermits::new(CONNECTIONS, OF_ONE_ADDRESS, proxies), ..self }
    }
}

impl<L: Listener<Addr = SocketAddr>> Listener for ConnectionTimeouts<L> {
    type Io = Timed<L::Io>;
    type Addr = L::Addr;

    async fn accept(&mut self) -> (Self::Io, Self::Addr) {
        loop {
            let (io, from) = self.listener.accept().await;
            // Who has too many at work already is closed at once: nobody else waits for that.
            let Some(permit) = self.permits.take(from.ip()) else { continue };
            let timer = Box::pin(sleep(self.limits.idle));
            let log = self.log.clone();
            return (
                Timed { io, limits: self.limits, timer, state: State::Idle, ended: 0, log, permit },
                from,
            );
        }
    }

    fn local_addr(&self) -> io::Result<Self::Addr> {
        self.listener.local_addr()
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum State {
    /// Between requests.
    Idle,
    /// A head is arriving.
    Head,
    /// The head is there and the answer is not begun.
    Asked,
    /// An answer is being written.
    Answering,
}

/// A connection with limits of time.
pub struct Timed<I> {
    io: I,
    limits: TimeoutLimits,
    timer: Pin<Box<Sleep>>,
    state: State,
    /// Bytes of the end of a head that were just read.
    ended: usize,
    log: Dispatch,
    permit: ConnectionPermit,
}

impl<I> Timed<I> {
    fn wait(&mut self, state: State, limit: Duration) {
        self.state = state;
        self.permit.set_idle(matches!(state, State::Idle | State::Head));
        self.timer = Box::pin(sleep(limit));
    }

    /// Learns from bytes that arrived where in a request the connection is.
    fn read(&mut self, bytes: &[u8]) {
        if bytes.is_empty() {
            return;
        }
        if matches!(self.state, State::Idle | State::Answering) {
            self.ended = 0;
            self.wait(State::Head, self.limits.head);
        }
        for byte in bytes {
            if self.state != State::Head {
                return;
            }
            let next = HEAD_END.get(self.ended);
            self.ended = if next == Some(byte) { self.ended + 1 } else { usize::from(*byte == b'\r') };
            if self.ended == HEAD_END.len() {
                self.wait(State::Asked, self.limits.answer);
            }
        }
    }

    /// Ends the connection when its time is over.
    fn is_over(&mut self, context: &mut Context<'_>, writes: bool) -> Poll<io::Error> {
        if self.permit.poll_cut(context).is_ready() {
            return Poll::Ready(io::Error::new(io::ErrorKind::ConnectionAborted, "others needed the place"));
        }
        ready!(self.timer.as_mut().poll(context));
        let why = match self.state {
            _ if writes => Some("an answer was not taken"),
            State::Idle | State::Answering => None,
            State::Head => Some("the head of a request took too long"),
            State::Asked => Some("a request took too long to arrive or to be answered"),
        };
        if let Some(why) = why {
            with_default(&self.log, || info!(%why, "connection cut"));
        }
        Poll::Ready(io::Error::new(io::ErrorKind::TimedOut, why.unwrap_or("idle")))
    }
}

impl<I: AsyncRead + Unpin> AsyncRead for Timed<I> {
    fn poll_read(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        into: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        let had = into.filled().len();
        let done = Pin::new(&mut self.io).poll_read(context, into);
        if let Poll::Ready(Ok(())) = done {
            let new = into.filled().get(had..).unwrap_or_default().to_vec();
            self.read(&new);
        }
        if done.is_pending()
            && let Poll::Ready(over) = self.is_over(context, false)
        {
            return Poll::Ready(Err(over));
        }
        done
    }
}

impl<I: AsyncWrite + Unpin> AsyncWrite for Timed<I> {
    fn poll_write(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        bytes: &[u8],
    ) -> Poll<io::Result<usize>> {
        match Pin::new(&mut self.io).poll_write(context, bytes) {
            Poll::Pending => self.is_over(context, true).map(Err),
            done @ Poll::Ready(_) => {
                let limit = self.limits.idle;
                self.wait(State::Answering, limit);
                done
            }
        }
    }

    fn poll_flush(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.io).poll_flush(context)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.io).poll_shutdown(context)
    }
}
