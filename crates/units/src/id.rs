//! The name a layout gives an item, kept to the last sheet so that a finding can point at its cause.

use std::{
    cmp::Ordering,
    fmt,
    hash::{Hash, Hasher},
    sync::Arc,
};

/// An item's name: cheap to clone, ordered as text, never empty in a resolved layout.
#[derive(Clone)]
pub struct Id {
    name: Arc<str>,
    /// The first bytes of the name, zeros after a shorter one: two names most often differ in them, and are then
    /// compared without a look at the text.
    head: u64,
}

impl Id {
    /// The name as text.
    pub fn as_str(&self) -> &str {
        &self.name
    }
}

/// Big end first, so that heads are ordered as the names are.
fn head(name: &str) -> u64 {
    let mut bytes = [0; 8];
    let taken = name.len().min(bytes.len());
    bytes[..taken].copy_from_slice(&name.as_bytes()[..taken]);
    u64::from_be_bytes(bytes)
}

impl From<&str> for Id {
    fn from(name: &str) -> Self {
        Self {
            name: name.into(),
            head: head(name),
        }
    }
}

impl From<String> for Id {
    fn from(name: String) -> Self {
        Self::from(name.as_str())
    }
}

impl PartialEq for Id {
    fn eq(&self, other: &Self) -> bool {
        self.head == other.head && self.name == other.name
    }
}

impl Eq for Id {}

impl PartialOrd for Id {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Id {
    fn cmp(&self, other: &Self) -> Ordering {
        let heads = self.head.cmp(&other.head);
        heads.then_with(|| self.name.cmp(&other.name))
    }
}

impl Hash for Id {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.name.hash(state);
    }
}

impl fmt::Debug for Id {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("Id").field(&self.name).finish()
    }
}

impl fmt::Display for Id {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.name)
    }
}

impl std::borrow::Borrow<str> for Id {
    fn borrow(&self) -> &str {
        &self.name
    }
}

impl serde::Serialize for Id {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.name)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ordered_as_text() {
        let mut names = [
            "b10-2",
            "b1",
            "b",
            "",
            "b1\0",
            "kitchen sink",
            "kitchen",
            "kitchen tap",
            "\u{e9}",
            "z",
            "b2",
        ];
        let mut ids = names.map(Id::from);
        names.sort_unstable();
        ids.sort_unstable();
        assert_eq!(ids.each_ref().map(Id::as_str), names);
        assert!(
            Id::from("b1") != Id::from("b1\0") && Id::from("b1") == Id::from(String::from("b1"))
        );
        assert_eq!(format!("{:?}", Id::from("wc")), "Id(\"wc\")");
    }
}
