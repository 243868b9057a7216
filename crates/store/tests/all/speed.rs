//! How long adding, reading and forgetting take: figures for docs/quality.md, measured when asked for.

use super::kit::Pen;
use setwright_store::{EventFilter, Opening, SqliteStore, Store};

/// Seconds that some work takes.
#[expect(clippy::disallowed_methods, reason = "it measures for a person to read")]
fn took(work: &mut dyn FnMut()) -> f64 {
    let begun = std::time::Instant::now();
    work();
    begun.elapsed().as_secs_f64()
}

#[test]
#[ignore = "measures for a person to read: SETWRIGHT_CLIENTS=100 cargo test -p setwright-store --test all speed -- --ignored --nocapture"]
fn adding_reading_and_forgetting() {
    let clients: u8 = std::env::var("SETWRIGHT_CLIENTS").ok().and_then(|n| n.parse().ok()).unwrap_or(50);
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("ledger.sqlite3");
    let mut store = SqliteStore::open(&path, Opening::Create).unwrap();
    let mut pens: Vec<Pen> = (1..=clients).map(Pen::new).collect();
    let timed = |what: &str, many: usize, work: &mut dyn FnMut()| {
        let seconds = took(work);
        println!("{what}: {many} in {seconds:.3} s, {:.1} us each", seconds * 1e6 / many as f64);
    };
    timed("added in batches of 1,000", usize::from(clients) * 1_002, &mut || {
        for pen in &mut pens {
            let events = pen.client_with_sets("Somebody", 1_000);
            store.append_all(&mut events.into_iter()).unwrap();
        }
    });
    let session = store.sessions(pens[0].client).unwrap()[0].id;
    timed("added one at a time", 300, &mut || {
        for nth in 0..300 {
            let set = pens[0].set(2_000 + nth, session, 80.0);
            store.append(&[set]).unwrap();
        }
    });
    let client = pens[1].client;
    timed("sets of a client read", 1_000 * 20, &mut || {
        for _ in 0..20 {
            assert_eq!(store.sets(client).unwrap().len(), 1_000);
        }
    });
    timed("events of a client read", 1_002 * 20, &mut || {
        for _ in 0..20 {
            assert_eq!(store.events(EventFilter { client: Some(client) }, 0, 5_000).unwrap().len(), 1_002);
        }
    });
    timed("rebuilt", usize::from(clients) * 1_002, &mut || {
        store.rebuild().unwrap();
    });
    timed("examined", usize::from(clients) * 1_002, &mut || {
        store.doctor().unwrap();
    });
    timed("forgotten", 1, &mut || {
        store.erase(client, Pen::at(1)).unwrap();
    });
    println!("{} bytes", std::fs::metadata(&path).unwrap().len());
}
