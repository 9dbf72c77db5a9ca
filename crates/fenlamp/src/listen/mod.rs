//! Instruments that report by themselves: by MQTT, or into a folder.
//!
//! A message is acknowledged only after its readings are on the disk. What is sent
//! again is known by device, quantity and moment and counts once.

mod folder;
mod mqtt;

pub use folder::Folder;
pub use mqtt::{Broker, hear};

/// What was heard so far.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Tally {
    /// Readings written down.
    pub new: u64,
    /// Of them, not believed.
    pub doubted: u64,
    /// Readings that were there already.
    pub again: u64,
    /// Readings or messages that could not be taken.
    pub refused: u64,
}

impl Tally {
    /// Counts what became of some readings.
    pub fn count(&mut self, taken: &[fenlamp_diary::Taken]) {
        use fenlamp_diary::Taken;
        for t in taken {
            match t {
                Taken::New => self.new += 1,
                Taken::Doubted(_) => {
                    self.new += 1;
                    self.doubted += 1;
                }
                Taken::Again => self.again += 1,
                Taken::Differs | Taken::Refused(_) => self.refused += 1,
            }
        }
    }
}
