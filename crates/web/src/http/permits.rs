//! Permits for connections, counted by the address they come from. Nobody waits for one: whoever has too many gives up the oldest of
//! their own that asks for nothing, and where all are taken whoever has the most does. It knows nothing of what is said over them.

use super::proxy::Proxies;
use setwright_coaching::locks::held;
use std::collections::BTreeMap;
use std::net::IpAddr;
use std::pin::Pin;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex};
use std::task::{Context, Poll};
use tokio::sync::oneshot;

/// So many connections at once.
pub struct ConnectionPermits {
    taken: Mutex<Taken>,
    most: usize,
    most_of_one: usize,
    proxies: Proxies,
}

#[derive(Default)]
struct Taken {
    /// In the order in which they were taken.
    all: Vec<Entry>,
    next: u64,
}

struct Entry {
    id: u64,
    from: IpAddr,
    is_idle: Arc<AtomicBool>,
    cut: oneshot::Sender<()>,
}

/// The right to stay connected, until it is dropped or taken back.
pub struct ConnectionPermit {
    permits: Arc<ConnectionPermits>,
    id: u64,
    is_idle: Arc<AtomicBool>,
    cut: Option<oneshot::Receiver<()>>,
}

impl ConnectionPermits {
    /// So many in all, and so many for one address; a proxy stands for many, and may have all.
    pub fn new(most: usize, most_of_one: usize, proxies: Proxies) -> Arc<Self> {
        Arc::new(Self { taken: Mutex::default(), most, most_of_one, proxies })
    }

    /// Takes one; none when all that would have to go are at work.
    pub fn take(self: &Arc<Self>, from: IpAddr) -> Option<ConnectionPermit> {
        let stands_for_many = self.proxies.hold(from);
        let from = if stands_for_many { from.to_canonical() } else { one(from) };
        let mut taken = held(&self.taken);
        if !stands_for_many && taken.all.iter().filter(|entry| entry.from == from).count() >= self.most_of_one
        {
            taken.cut(from)?;
        } else if taken.all.len() >= self.most {
            let crowded = taken.crowded()?;
            taken.cut(crowded)?;
        }
        taken.next += 1;
        let (id, is_idle) = (taken.next, Arc::new(AtomicBool::new(true)));
        let (cut, heard) = oneshot::channel();
        taken.all.push(Entry { id, from, is_idle: Arc::clone(&is_idle), cut });
        Some(ConnectionPermit { permits: Arc::clone(self), id, is_idle, cut: Some(heard) })
    }
}

impl Taken {
    /// The address with the most permits of which one could go.
    fn crowded(&self) -> Option<IpAddr> {
        let mut counted: BTreeMap<IpAddr, (usize, bool)> = BTreeMap::new();
        for entry in &self.all {
            let (count, can_go) = counted.entry(entry.from).or_default();
            *count += 1;
            *can_go |= entry.is_idle.load(Ordering::Relaxed);
        }
        let can_go = counted.into_iter().filter(|(_, (_, can_go))| *can_go);
        can_go.max_by_key(|(_, (count, _))| *count).map(|(from, _)| from)
    }

    /// Cuts the oldest idle one from this address.
    fn cut(&mut self, from: IpAddr) -> Option<()> {
        let is_idle = |entry: &Entry| entry.from == from && entry.is_idle.load(Ordering::Relaxed);
        let oldest = self.all.iter().position(is_idle)?;
        // Who holds it may have gone at this moment.
        let _ = self.all.remove(oldest).cut.send(());
        Some(())
    }
}

/// What counts as one address: a network of the newer kind gives each machine as many as it likes.
fn one(from: IpAddr) -> IpAddr {
    const OF_ONE_NETWORK: u128 = !0 << 64;
    match from.to_canonical() {
        IpAddr::V6(address) => IpAddr::V6((u128::from(address) & OF_ONE_NETWORK).into()),
        address @ IpAddr::V4(_) => address,
    }
}

impl ConnectionPermit {
    /// Says whether anything is being asked or answered: such a connection is kept.
    pub fn set_idle(&self, is_idle: bool) {
        self.is_idle.store(is_idle, Ordering::Relaxed);
    }

    /// Whether it had to go; whoever polls is woken when it has to.
    pub fn poll_cut(&mut self, context: &mut Context<'_>) -> Poll<()> {
        let Some(cut) = &mut self.cut else { return Poll::Pending };
        let done = Pin::new(cut).poll(context).map(|_| ());
        if done.is_ready() {
            self.cut = None;
        }
        done
    }

    /// Waits until it has to go.
    pub async fn cut(&mut self) {
        std::future::poll_fn(|context| self.poll_cut(context)).await;
    }
}

impl Drop for ConnectionPermit {
    fn drop(&mut self) {
        held(&self.permits.taken).all.retain(|entry| entry.id != self.id);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::http::proxy::AddressHeader;

    fn is_cut(permit: &mut ConnectionPermit) -> bool {
        permit.poll_cut(&mut Context::from_waker(std::task::Waker::noop())).is_ready()
    }

    #[test]
    fn who_has_too_many_gives_up_their_own_oldest_that_is_idle() {
        let permits = ConnectionPermits::new(10, 2, Proxies::default());
        let [ada, ben]: [IpAddr; 2] = ["10.0.0.1", "10.0.0.2"].map(|ip| ip.parse().unwrap());
        let mut of_ben = permits.take(ben).unwrap();
        let (mut at_work, mut silent) = (permits.take(ada).unwrap(), permits.take(ada).unwrap());
        at_work.set_idle(false);
        let third = permits.take(ada).unwrap();
        assert_eq!([&mut at_work, &mut silent, &mut of_ben].map(is_cut), [false, true, false]);
        third.set_idle(false);
        assert!(permits.take(ada).is_none(), "all of theirs are at work");
        drop(third);
        assert!(permits.take(ada).is_some());
    }

    #[test]
    fn where_all_are_taken_whoever_has_the_most_makes_room() {
        let permits = ConnectionPermits::new(4, 4, Proxies::default());
        let ip = |text: &str| text.parse::<IpAddr>().unwrap();
        let mut few = permits.take(ip("10.0.0.1")).unwrap();
        let mut many: Vec<ConnectionPermit> = ["2001:db8::1", "2001:db8::2", "2001:db8::3"]
            .iter()
            .map(|a| permits.take(ip(a)).unwrap())
            .collect();
        assert!(permits.take(ip("10.0.0.3")).is_some());
        assert!(!is_cut(&mut few));
        assert_eq!(
            many.iter_mut().map(is_cut).collect::<Vec<_>>(),
            [true, false, false],
            "one network is one"
        );
    }
    #[test]
    fn a_proxy_may_have_all_places_and_makes_room_like_anybody() {
        let [proxy, ada]: [IpAddr; 2] = ["10.0.0.1", "10.0.0.2"].map(|ip| ip.parse().unwrap());
        let permits = ConnectionPermits::new(4, 2, Proxies::new(&[proxy], AddressHeader::default()));
        let mut of_proxy: Vec<ConnectionPermit> = (0..4).map(|_| permits.take(proxy).unwrap()).collect();
        assert!(!of_proxy.iter_mut().any(is_cut));
        assert!(permits.take(ada).is_some());
        assert_eq!(of_proxy.iter_mut().map(is_cut).collect::<Vec<_>>(), [true, false, false, false]);
    }
}
