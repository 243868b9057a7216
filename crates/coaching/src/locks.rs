//! Locks that hold whatever fell.

use std::sync::{Mutex, MutexGuard, PoisonError};

/// A lock, also when a thread fell while it held it: what it guards is a cache or a pool, and whole at any moment.
pub fn held<T>(lock: &Mutex<T>) -> MutexGuard<'_, T> {
    lock.lock().unwrap_or_else(PoisonError::into_inner)
}
