//! iCalendar (RFC 5545): whole-day events with an alarm in the morning.

use jiff::ToSpan;
use jiff::civil::DateTime;

use super::Reminder;

/// The calendar's text; `made` is the moment of writing, UTC.
pub fn to_text(name: &str, reminders: &[Reminder], made: DateTime) -> String {
    let mut out = String::new();
    let stamp = made.strftime("%Y%m%dT%H%M%SZ").to_string();
    line(&mut out, "BEGIN:VCALENDAR");
    line(&mut out, "VERSION:2.0");
    line(&mut out, "PRODID:-//Fenlamp//Reminders//EN");
    line(&mut out, "CALSCALE:GREGORIAN");
    line(&mut out, &format!("X-WR-CALNAME:{}", escaped(name)));
    for r in reminders {
        line(&mut out, "BEGIN:VEVENT");
        line(&mut out, &format!("UID:{}", escaped(&r.uid)));
        line(&mut out, &format!("DTSTAMP:{stamp}"));
        line(
            &mut out,
            &format!("DTSTART;VALUE=DATE:{}", r.date.strftime("%Y%m%d")),
        );
        line(
            &mut out,
            &format!(
                "DTEND;VALUE=DATE:{}",
                r.date.saturating_add(1.day()).strftime("%Y%m%d")
            ),
        );
        line(&mut out, &format!("SUMMARY:{}", escaped(&r.title)));
        line(&mut out, &format!("DESCRIPTION:{}", escaped(&r.words)));
        line(&mut out, "TRANSP:TRANSPARENT");
        line(&mut out, "BEGIN:VALARM");
        line(&mut out, "ACTION:DISPLAY");
        // Eight in the morning of the day.
        line(&mut out, "TRIGGER:PT8H");
        line(&mut out, &format!("DESCRIPTION:{}", escaped(&r.title)));
        line(&mut out, "END:VALARM");
        line(&mut out, "END:VEVENT");
    }
    line(&mut out, "END:VCALENDAR");
    out
}

/// TEXT of section 3.3.11.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\\' | ';' | ',' => out.extend(['\\', c]),
            '\n' => out.push_str("\\n"),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

/// A content line, folded at 75 octets (section 3.1), never inside a character.
fn line(out: &mut String, text: &str) {
    let mut room = 75;
    for c in text.chars() {
        if c.len_utf8() > room {
            out.push_str("\r\n ");
            room = 74;
        }
        out.push(c);
        room -= c.len_utf8();
    }
    out.push_str("\r\n");
}
