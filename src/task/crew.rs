//! Spreads pieces of work over all processors; it knows not what is made.

use std::panic::resume_unwind;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

/// Does pieces `0..count`, in that order as far as there are hands, and returns what came of each in their order.
///
/// Each hand finishes a piece before it takes the next. A pool that lends a waiting hand out does not: the typesetter
/// waits often, so packet would begin on top of packet, all of them would be held at once, and the stack would end first.
///
/// # Errors
/// What one of the pieces failed with; no further piece is begun then.
pub(crate) fn each<T: Send, E: Send>(count: usize, work: impl Fn(usize) -> Result<T, E> + Sync) -> Result<Vec<T>, E> {
    let next = AtomicUsize::new(0);
    let hand = || {
        let mut done = Vec::new();
        loop {
            let at = next.fetch_add(1, Ordering::Relaxed);
            if at >= count {
                return Ok(done);
            }
            match work(at) {
                Ok(made) => done.push((at, made)),
                Err(error) => {
                    next.store(count, Ordering::Relaxed);
                    return Err(error);
                }
            }
        }
    };
    let done: Result<Vec<Vec<(usize, T)>>, E> = thread::scope(|scope| {
        let hands = rayon::current_num_threads().min(count);
        let hands: Vec<_> = (0..hands).map(|_| scope.spawn(hand)).collect();
        hands.into_iter().map(|hand| hand.join().unwrap_or_else(|panic| resume_unwind(panic))).collect()
    });
    let mut done: Vec<(usize, T)> = done?.into_iter().flatten().collect();
    done.sort_by_key(|(at, _)| *at);
    Ok(done.into_iter().map(|(_, made)| made).collect())
}

#[cfg(test)]
mod tests {
    use super::each;
    use std::cell::Cell;
    use std::convert::Infallible;

    thread_local! {
        static BUSY: Cell<bool> = const { Cell::new(false) };
    }

    #[test]
    fn no_piece_begins_on_top_of_another_that_waits() {
        let made = each(200, |at| {
            assert!(!BUSY.replace(true), "piece {at} began on top of another");
            rayon::join(rayon::yield_now, rayon::yield_now);
            rayon::yield_now();
            BUSY.set(false);
            Ok::<usize, Infallible>(at)
        });
        assert_eq!(made, Ok((0..200).collect()));
    }

    #[test]
    fn the_first_failure_ends_the_work() {
        assert_eq!(each(0, |_| Err::<(), &str>("never asked")), Ok(Vec::new()));
        assert_eq!(each(100, |at| if at == 3 { Err("broken") } else { Ok(at) }), Err("broken"));
    }
}
