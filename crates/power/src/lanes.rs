//! Work side by side.

use std::sync::atomic::{AtomicUsize, Ordering};

/// Does pieces of work on as many lanes as the machine has cores: each lane takes the next piece that nobody
/// has taken. `memory` is what a lane keeps from one piece to the next; what is found must not depend
/// on it, because nobody knows who takes which.
pub fn each<M, T: Send>(
    count: usize,
    memory: impl Fn() -> M + Sync,
    work: impl Fn(&mut M, usize) -> T + Sync,
) -> Vec<T> {
    let cores = std::thread::available_parallelism().map_or(1, |n| n.get());
    let next = AtomicUsize::new(0);
    let lane = || {
        let (mut memory, mut done) = (memory(), Vec::new());
        loop {
            let piece = next.fetch_add(1, Ordering::Relaxed);
            if piece >= count {
                return done;
            }
            done.push((piece, work(&mut memory, piece)));
        }
    };
    let mut done = std::thread::scope(|scope| {
        let helpers: Vec<_> = (1..cores.min(count)).map(|_| scope.spawn(lane)).collect();
        let mut done = lane();
        for helper in helpers {
            match helper.join() {
                Ok(found) => done.extend(found),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        done
    });
    done.sort_by_key(|d| d.0);
    done.into_iter().map(|d| d.1).collect()
}

#[cfg(test)]
mod tests {
    use super::each;

    #[test]
    fn every_piece_is_done_once_and_in_order() {
        for count in [0, 1, 2, 100] {
            let found = each(
                count,
                || 0,
                |seen, piece| {
                    *seen += 1;
                    (piece, *seen > 0)
                },
            );
            assert_eq!(found, (0..count).map(|piece| (piece, true)).collect::<Vec<_>>());
        }
    }
}
