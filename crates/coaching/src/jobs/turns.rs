//! Whose turn it is to use the cores: of those who wait, whoever had theirs the longest ago. Who asks for many plans waits for
//! themselves and not for everybody.

use crate::locks::held;
use setwright_model::ledger::Actor;
use std::sync::{Condvar, Mutex, PoisonError};

/// Turns that are taken one after another.
#[derive(Default)]
pub struct Turns {
    queue: Mutex<Queue>,
    freed: Condvar,
}

#[derive(Default)]
struct Queue {
    next: u64,
    is_taken: bool,
    /// In the order in which they came.
    waiting: Vec<(u64, Actor)>,
    /// Who had a turn, the last one last.
    had: Vec<Actor>,
}

/// A turn, until it is dropped.
pub struct Turn<'t>(&'t Turns);

impl Turns {
    /// Waits for a turn of this person.
    pub fn take(&self, by: &Actor) -> Turn<'_> {
        let mut queue = held(&self.queue);
        let ticket = queue.enter(by);
        while queue.is_taken || queue.first() != Some(ticket) {
            queue = self.freed.wait(queue).unwrap_or_else(PoisonError::into_inner);
        }
        queue.begin(ticket);
        Turn(self)
    }
}

impl Drop for Turn<'_> {
    fn drop(&mut self) {
        held(&self.0.queue).is_taken = false;
        self.0.freed.notify_all();
    }
}

impl Queue {
    fn enter(&mut self, by: &Actor) -> u64 {
        self.next += 1;
        self.waiting.push((self.next, by.clone()));
        self.next
    }

    /// Who is next: those who had no turn yet come first, then by how long ago it was.
    fn first(&self) -> Option<u64> {
        let had = |by: &Actor| self.had.iter().position(|other| other == by);
        self.waiting.iter().min_by_key(|(ticket, by)| (had(by), *ticket)).map(|(ticket, _)| *ticket)
    }

    fn begin(&mut self, ticket: u64) {
        self.is_taken = true;
        let Some(at) = self.waiting.iter().position(|(waits, _)| *waits == ticket) else { return };
        let (_, by) = self.waiting.remove(at);
        self.had.retain(|other| *other != by);
        self.had.push(by);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_model::ledger::Role;

    #[test]
    fn who_asks_for_many_does_not_keep_another_waiting() {
        let by = |name: &str| Actor::named(Role::Coach, name.to_owned());
        let mut queue = Queue::default();
        let asked =
            ["ada", "ada", "ada", "ben", "ada", "cy", "ben"].map(|name| (queue.enter(&by(name)), name));
        let mut order = Vec::new();
        while let Some(ticket) = queue.first() {
            queue.begin(ticket);
            order.extend(asked.iter().find(|(asked, _)| *asked == ticket).map(|(_, name)| *name));
        }
        assert_eq!(order, ["ada", "ben", "cy", "ada", "ben", "ada", "ada"]);
    }

    #[test]
    fn turns_are_taken_one_at_a_time_and_all_come() {
        let turns = Turns::default();
        let count = Mutex::new(0);
        std::thread::scope(|scope| {
            for _ in 0..8 {
                scope.spawn(|| {
                    let _turn = turns.take(&Actor::COACH);
                    *count.try_lock().unwrap() += 1;
                });
            }
        });
        assert_eq!(*count.lock().unwrap(), 8);
    }
}
