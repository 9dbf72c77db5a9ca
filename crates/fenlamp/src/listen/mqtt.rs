//! Readings by MQTT 3.1.1, at least once from the broker, exactly once in the diary.

use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use fenlamp_diary::{Diary, DiaryError, Reading, instruments};
use jiff::Timestamp;
use rumqttc::{Client, Event, Incoming, MqttOptions, Publish, QoS, RecvTimeoutError};

use super::Tally;

/// A broker and what to hear there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Broker {
    /// Host.
    pub host: String,
    /// Port.
    pub port: u16,
    /// Topic, wildcards allowed.
    pub topic: String,
    /// Name under which the broker keeps messages for us while we are away.
    pub name: String,
    /// User and password, where the broker wants them.
    pub login: Option<(String, String)>,
}

/// Most messages in one step to the disk.
const BATCH: usize = 2000;
/// A step is made when nothing came for so long.
const QUIET: Duration = Duration::from_millis(20);
/// Or at the latest so long after its first message.
const LATEST: Duration = Duration::from_millis(500);
/// Wait before the broker is called again.
const AGAIN: Duration = Duration::from_millis(500);
/// Largest message, bytes.
const LARGEST: usize = 1 << 20;

/// What a device sends.
#[derive(serde::Deserialize)]
struct Message {
    key: String,
    readings: serde_json::Value,
}

/// Hears readings until `stop`; `tell` gets the tally after every step and a line on
/// what went wrong.
///
/// # Errors
/// The diary cannot be written: nothing more is acknowledged, the broker keeps it.
pub fn hear(
    diary: &Path,
    broker: &Broker,
    stop: &AtomicBool,
    tell: &mut dyn FnMut(&Tally, Option<&str>),
) -> Result<Tally, DiaryError> {
    let mut diary = Diary::open(diary)?;
    let mut options = MqttOptions::new(&broker.name, &broker.host, broker.port);
    options.set_keep_alive(Duration::from_secs(20));
    // The broker keeps for us what comes while we are away.
    options.set_clean_session(false);
    options.set_manual_acks(true);
    options.set_max_packet_size(LARGEST, LARGEST);
    if let Some((user, password)) = &broker.login {
        options.set_credentials(user, password);
    }
    let (client, mut connection) = Client::new(options, 2 * BATCH + 16);
    let mut tally = Tally::default();
    let mut held: Vec<Publish> = Vec::new();
    let mut first = Instant::now();
    while !stop.load(Ordering::Relaxed) {
        let wait = if held.is_empty() {
            Duration::from_millis(200)
        } else {
            QUIET
        };
        match connection.recv_timeout(wait) {
            Ok(Ok(Event::Incoming(Incoming::ConnAck(_)))) => {
                // What was held came before; it will be sent again.
                held.clear();
                if client
                    .try_subscribe(&broker.topic, QoS::AtLeastOnce)
                    .is_err()
                {
                    tell(&tally, Some("the broker could not be asked for the topic"));
                }
            }
            Ok(Ok(Event::Incoming(Incoming::SubAck(_)))) => tell(&tally, None),
            Ok(Ok(Event::Incoming(Incoming::Publish(message)))) => {
                if held.is_empty() {
                    first = Instant::now();
                }
                held.push(message);
            }
            Ok(Ok(_)) => {}
            Ok(Err(e)) => {
                // What was held but not written is sent again after a new greeting.
                held.clear();
                tell(&tally, Some(&format!("the broker cannot be reached: {e}")));
                std::thread::sleep(AGAIN);
            }
            Err(RecvTimeoutError::Timeout) => {
                keep(&mut diary, &client, &mut held, &mut tally, tell)?;
            }
            Err(RecvTimeoutError::Disconnected) => break,
        }
        if held.len() >= BATCH || (!held.is_empty() && first.elapsed() >= LATEST) {
            keep(&mut diary, &client, &mut held, &mut tally, tell)?;
        }
    }
    keep(&mut diary, &client, &mut held, &mut tally, tell)?;
    // A moment for the last acknowledgements; those that miss it are sent again.
    let end = Instant::now() + Duration::from_millis(200);
    let _ = client.try_disconnect();
    while Instant::now() < end {
        match connection.recv_timeout(Duration::from_millis(20)) {
            Ok(Err(_)) | Err(RecvTimeoutError::Disconnected) => break,
            _ => {}
        }
    }
    Ok(tally)
}

/// One step: everything held goes to the disk, then it is acknowledged.
fn keep(
    diary: &mut Diary,
    client: &Client,
    held: &mut Vec<Publish>,
    tally: &mut Tally,
    tell: &mut dyn FnMut(&Tally, Option<&str>),
) -> Result<(), DiaryError> {
    if held.is_empty() {
        return Ok(());
    }
    let now = Timestamp::now();
    let mut sent: Vec<(String, Vec<Reading>)> = Vec::new();
    let mut wrong = None;
    for message in held.iter() {
        match understood(diary, message, now) {
            Ok(one) => sent.push(one),
            Err(why) => {
                tally.refused += 1;
                wrong = Some(format!("{}: {why}", message.topic));
            }
        }
    }
    let by_name: Vec<(&str, &[Reading])> = sent
        .iter()
        .map(|(device, readings)| (device.as_str(), readings.as_slice()))
        .collect();
    for taken in diary.take_all(&by_name, now.as_second())? {
        tally.count(&taken);
        if let Some(fenlamp_diary::Taken::Refused(why)) = taken
            .iter()
            .find(|t| matches!(t, fenlamp_diary::Taken::Refused(_)))
        {
            wrong = Some(why.clone());
        }
    }
    // On the disk: now the broker may forget it. What cannot be read will not become
    // readable by being sent again, so it is acknowledged too.
    for message in held.drain(..) {
        if message.qos != QoS::AtMostOnce && client.try_ack(&message).is_err() {
            wrong = Some("an acknowledgement waits for the next connection".to_owned());
        }
    }
    tell(tally, wrong.as_deref());
    Ok(())
}

fn understood(
    diary: &Diary,
    message: &Publish,
    now: Timestamp,
) -> Result<(String, Vec<Reading>), String> {
    let parsed: Message = serde_json::from_slice(&message.payload)
        .map_err(|_| "write {\"key\": \"...\", \"readings\": [...]}".to_owned())?;
    let device = diary
        .device_of_key(&parsed.key)
        .map_err(|e| e.to_string())?;
    let readings = instruments::from_json(parsed.readings.to_string().as_bytes(), now)?;
    Ok((device, readings))
}
