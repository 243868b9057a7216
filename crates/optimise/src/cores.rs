//! Work on two cores. Every piece is reckoned the same whoever does it, so answers do not depend on the machine.

use std::sync::atomic::{AtomicUsize, Ordering};

/// Does something with every item, on two threads; results in the order of the items.
///
/// # Panics
/// When `each` does: a panic on the other thread goes on here.
pub fn on_two<T: Sync, R: Send>(items: &[T], each: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let next = AtomicUsize::new(0);
    let work = || {
        let mut done = Vec::new();
        while let Some((index, item)) = take(items, &next) {
            done.push((index, each(item)));
        }
        done
    };
    let mut all = std::thread::scope(|scope| {
        let other = (items.len() > 1).then(|| scope.spawn(work));
        let mut mine = work();
        if let Some(other) = other {
            mine.extend(other.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)));
        }
        mine
    });
    all.sort_by_key(|(index, _)| *index);
    all.into_iter().map(|(_, result)| result).collect()
}

fn take<'a, T>(items: &'a [T], next: &AtomicUsize) -> Option<(usize, &'a T)> {
    let index = next.fetch_add(1, Ordering::Relaxed);
    items.get(index).map(|item| (index, item))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn results_come_in_the_order_of_the_items() {
        let items: Vec<u64> = (0..97).collect();
        assert_eq!(on_two(&items, |n| n * n), items.iter().map(|n| n * n).collect::<Vec<_>>());
        assert!(on_two(&[] as &[u8], |n| *n).is_empty());
    }

    #[test]
    #[should_panic(expected = "the seventh")]
    fn a_panic_on_either_thread_is_not_lost() {
        let items: Vec<u64> = (0..8).collect();
        on_two(&items, |n| assert_ne!(*n, 6, "the seventh"));
    }
}
