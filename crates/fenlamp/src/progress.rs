//! One line on the error output while a person waits.

use std::io::{IsTerminal, Write};
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// Does `work`; says `what` with the seconds gone by if that takes more than a
/// moment and a person is watching. The line is wiped at the end.
pub fn while_waiting<T>(what: &str, work: impl FnOnce() -> T) -> T {
    if !std::io::stderr().is_terminal() {
        return work();
    }
    let done = AtomicBool::new(false);
    std::thread::scope(|scope| {
        scope.spawn(|| tell(what, &done));
        let finish = Finish(&done);
        let out = work();
        drop(finish);
        out
    })
}

/// Ends the line also when the work panics.
struct Finish<'a>(&'a AtomicBool);

impl Drop for Finish<'_> {
    fn drop(&mut self) {
        self.0.store(true, Ordering::Relaxed);
    }
}

fn tell(what: &str, done: &AtomicBool) {
    let start = Instant::now();
    let mut said = false;
    let mut next = Duration::from_millis(400);
    while !done.load(Ordering::Relaxed) {
        std::thread::sleep(Duration::from_millis(50));
        if start.elapsed() >= next {
            // A terminal that has gone away is no reason to stop the work.
            let _ = write!(
                std::io::stderr(),
                "\r{what}: {} s",
                start.elapsed().as_secs()
            );
            said = true;
            next += Duration::from_secs(1);
        }
    }
    if said {
        let _ = write!(
            std::io::stderr(),
            "\r{:width$}\r",
            "",
            width = what.chars().count() + 12
        );
    }
}
