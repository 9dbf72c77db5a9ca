//! One line on the error output while a person waits, and Ctrl-C.

use std::io::{IsTerminal, Write};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::{Duration, Instant};

use fenlamp_model::forecast::runs::Control;
use signal_hook::consts::SIGINT;

/// Does `work`; if that takes more than a moment and a person is watching, says
/// `what` with a bar of how far it is. The line is wiped at the end. Ctrl-C asks
/// the work to stop, a second one ends the program at once.
pub fn while_watched<T>(what: &str, work: impl FnOnce(&Control) -> T) -> T {
    let cancelled = Arc::new(AtomicBool::new(false));
    // The first Ctrl-C finds the flag down and raises it; the second ends the program.
    // Without handlers (an odd system) Ctrl-C ends it as it ever did.
    let handlers = [
        signal_hook::flag::register_conditional_shutdown(SIGINT, 130, Arc::clone(&cancelled)),
        signal_hook::flag::register(SIGINT, Arc::clone(&cancelled)),
    ];
    let (done, total) = (AtomicUsize::new(0), AtomicUsize::new(0));
    let progress = |now: usize, of: usize| {
        // Threads may report out of order; a new total begins a new count.
        if total.swap(of, Ordering::Relaxed) != of {
            done.store(now, Ordering::Relaxed);
        }
        done.fetch_max(now, Ordering::Relaxed);
    };
    let control = Control {
        progress: &progress,
        cancelled: &cancelled,
    };
    let out = if std::io::stderr().is_terminal() {
        let over = AtomicBool::new(false);
        std::thread::scope(|scope| {
            scope.spawn(|| tell(what, &done, &total, &over));
            let finish = Finish(&over);
            let out = work(&control);
            drop(finish);
            out
        })
    } else {
        work(&control)
    };
    for handler in handlers.into_iter().flatten() {
        signal_hook::low_level::unregister(handler);
    }
    out
}

/// Ends the line also when the work panics.
struct Finish<'a>(&'a AtomicBool);

impl Drop for Finish<'_> {
    fn drop(&mut self) {
        self.0.store(true, Ordering::Relaxed);
    }
}

/// Places of the bar.
const BAR: usize = 20;

fn tell(what: &str, done: &AtomicUsize, total: &AtomicUsize, over: &AtomicBool) {
    let start = Instant::now();
    let mut said = 0;
    let mut next = Duration::from_millis(400);
    while !over.load(Ordering::Relaxed) {
        std::thread::sleep(Duration::from_millis(50));
        if start.elapsed() >= next {
            let line = line(
                what,
                done.load(Ordering::Relaxed),
                total.load(Ordering::Relaxed),
            );
            // A terminal that has gone away is no reason to stop the work.
            let _ = write!(std::io::stderr(), "\r{line:said$}");
            said = line.chars().count();
            next += Duration::from_millis(200);
        }
    }
    if said > 0 {
        let _ = write!(std::io::stderr(), "\r{:said$}\r", "");
    }
}

/// "Running 60 worlds of 365 days [########............]".
fn line(what: &str, done: usize, total: usize) -> String {
    let full = (BAR * done.min(total)).checked_div(total).unwrap_or(0);
    format!("{what} [{}{}]", "#".repeat(full), ".".repeat(BAR - full))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bar_fills_from_nothing_to_the_end() {
        assert_eq!(line("x", 0, 0), "x [....................]");
        assert_eq!(line("x", 30, 60), "x [##########..........]");
        assert_eq!(line("x", 61, 60), "x [####################]");
    }

    #[test]
    fn the_work_is_done_and_its_answer_handed_back() {
        let got = while_watched("x", |control| {
            (control.progress)(1, 2);
            assert!(!control.cancelled.load(Ordering::Relaxed));
            7
        });
        assert_eq!(got, 7);
    }
}
