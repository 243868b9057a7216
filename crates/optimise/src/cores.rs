//! Work on as many cores as there are. Every piece is reckoned the same whoever does it and in whatever order, so answers do not
//! depend on the machine; what may be stopped early is cut into pieces by whoever asks, never by the number of cores.

use rayon::iter::{
    IndexedParallelIterator, IntoParallelRefIterator, IntoParallelRefMutIterator, ParallelIterator,
};

/// Does something with every item, on all cores; results in the order of the items.
///
/// # Panics
/// When `each` does: a panic on another thread goes on here.
pub fn on_all<T: Sync, R: Send>(items: &[T], each: impl Fn(&T) -> R + Sync) -> Vec<R> {
    // Items are few and take long: each is a piece of its own.
    let each = &each;
    items.par_iter().with_max_len(1).map(each).collect()
}

/// Changes every item, on all cores.
///
/// # Panics
/// When `each` does: a panic on another thread goes on here.
pub fn on_each<T: Send>(items: &mut [T], each: impl Fn(&mut T) + Sync) {
    let each = &each;
    items.par_iter_mut().with_max_len(1).for_each(each);
}
