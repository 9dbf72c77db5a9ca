//! Words of drawings and booklet, a file a language.
//!
//! English (`en.toml`) is whole; another language has the same keys and the
//! same blanks (a test holds both). To add one: copy the file, translate, and
//! add it to [`Language`].

#[cfg(test)]
mod tests;

use std::collections::BTreeMap;
use std::sync::LazyLock;

/// A language of the catalogue.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Language {
    /// English.
    English,
    /// German.
    German,
}

impl Language {
    /// Every language.
    pub const ALL: [Language; 2] = [Language::English, Language::German];

    /// Its tag (BCP 47).
    pub fn tag(self) -> &'static str {
        match self {
            Language::English => "en",
            Language::German => "de",
        }
    }

    /// The language of a tag.
    pub fn of_tag(tag: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|l| l.tag() == tag)
    }

    fn text(self) -> &'static str {
        match self {
            Language::English => include_str!("en.toml"),
            Language::German => include_str!("de.toml"),
        }
    }
}

/// The words of one language.
#[derive(Debug)]
pub struct Words {
    language: Language,
    table: BTreeMap<String, String>,
}

static ENGLISH: LazyLock<Words> = LazyLock::new(|| Words::load(Language::English));
static GERMAN: LazyLock<Words> = LazyLock::new(|| Words::load(Language::German));

impl Words {
    /// The words of a language.
    pub fn of(language: Language) -> &'static Words {
        match language {
            Language::English => &ENGLISH,
            Language::German => &GERMAN,
        }
    }

    fn load(language: Language) -> Words {
        let mut table = BTreeMap::new();
        // The file is part of the program; a test reads it.
        let root: toml::Table = toml::from_str(language.text()).unwrap_or_default();
        gather(&root, "", &mut table);
        Words { language, table }
    }

    /// The language.
    pub fn language(&self) -> Language {
        self.language
    }

    /// Every key with its words.
    pub fn all(&self) -> impl Iterator<Item = (&str, &str)> {
        self.table.iter().map(|(k, v)| (k.as_str(), v.as_str()))
    }

    /// Short names of the months, January first.
    pub fn months(&'static self) -> [&'static str; 12] {
        const KEYS: [&str; 12] = [
            "month.1", "month.2", "month.3", "month.4", "month.5", "month.6", "month.7", "month.8",
            "month.9", "month.10", "month.11", "month.12",
        ];
        KEYS.map(|key| self.find(key).unwrap_or(""))
    }

    /// The words under a key, if there are any.
    pub fn find(&self, key: &str) -> Option<&str> {
        self.table.get(key).map(String::as_str)
    }

    /// The words under a key; a key without words shows as itself in brackets.
    pub fn say(&self, key: &str) -> String {
        self.find(key)
            .map_or_else(|| format!("[[{key}]]"), str::to_owned)
    }

    /// The words under a key with its blanks (`{name}`) filled. What is filled in
    /// is not looked at for blanks again.
    pub fn fill(&self, key: &str, blanks: &[(&str, &str)]) -> String {
        let text = self.say(key);
        let mut out = String::with_capacity(text.len() + 32);
        let mut rest = text.as_str();
        while let Some(open) = rest.find('{') {
            out.push_str(&rest[..open]);
            rest = &rest[open..];
            let Some(close) = rest.find('}') else { break };
            let name = &rest[1..close];
            match blanks.iter().find(|(n, _)| *n == name) {
                Some((_, value)) => out.push_str(value),
                None => out.push_str(&rest[..=close]),
            }
            rest = &rest[close + 1..];
        }
        out.push_str(rest);
        out
    }

    /// A printed quantity ("1.5 L", "6 in wc", "12 to 18 °C") as the language
    /// writes it.
    pub fn figure(&self, text: &str) -> String {
        if self.language == Language::English {
            return text.to_owned();
        }
        let chars: Vec<char> = text.chars().collect();
        let is_digit = |i: Option<usize>| {
            i.and_then(|i| chars.get(i))
                .is_some_and(char::is_ascii_digit)
        };
        let comma: String = chars
            .iter()
            .enumerate()
            .map(|(i, c)| {
                let decimal = *c == '.' && is_digit(i.checked_sub(1)) && is_digit(Some(i + 1));
                if decimal { ',' } else { *c }
            })
            .collect();
        comma
            .split(' ')
            .map(|word| self.find(&format!("unit.{word}")).unwrap_or(word))
            .collect::<Vec<_>>()
            .join(" ")
    }
}

fn gather(table: &toml::Table, before: &str, out: &mut BTreeMap<String, String>) {
    for (key, value) in table {
        let key = if before.is_empty() {
            key.clone()
        } else {
            format!("{before}.{key}")
        };
        match value {
            toml::Value::Table(inner) => gather(inner, &key, out),
            toml::Value::String(text) => {
                out.insert(key, text.split_whitespace().collect::<Vec<_>>().join(" "));
            }
            _ => {}
        }
    }
}
