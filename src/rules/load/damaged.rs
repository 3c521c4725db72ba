//! What can still be read of a JSON text that breaks off: so that a damaged file tells its other mistakes too.

use super::lines::child;

/// The part of a text in front of the place where it stops being JSON.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Damaged {
    /// The part up to the last whole value, with everything closed that was open.
    pub text: String,
    /// Path of the field where it breaks off.
    pub path: String,
    /// Paths of the objects and lists that were still open: what is missing in them may stand further on.
    pub open: Vec<String>,
}

struct Frame {
    is_object: bool,
    path: String,
    key: String,
    index: usize,
    wants_key: bool,
}

impl Frame {
    fn inner(&self) -> String {
        match self.is_object {
            true if self.wants_key => self.path.clone(),
            true => child(&self.path, &self.key),
            false => format!("{}[{}]", self.path, self.index),
        }
    }
}

/// Reads `text` up to the byte `end`, in front of which a JSON reader found no fault.
pub fn readable_part(text: &str, end: usize) -> Damaged {
    let bytes = text.as_bytes();
    let end = end.min(bytes.len());
    let mut frames: Vec<Frame> = Vec::new();
    let mut cut = Cut::default();
    let mut at = 0;
    while at < end {
        let next = match bytes.get(at) {
            Some(b'{' | b'[') => {
                let path = frames.last().map(Frame::inner).unwrap_or_default();
                let is_object = bytes.get(at) == Some(&b'{');
                frames.push(Frame { is_object, path, key: String::new(), index: 0, wants_key: is_object });
                at + 1
            }
            Some(b'}' | b']') => {
                frames.pop();
                at + 1
            }
            Some(b',') => {
                if let Some(frame) = frames.last_mut() {
                    frame.index += 1;
                    frame.wants_key = frame.is_object;
                }
                at += 1;
                continue;
            }
            Some(b'"') => {
                let Some(close) = end_of_string(bytes, at).filter(|&close| close <= end) else { break };
                match frames.last_mut() {
                    Some(frame) if frame.wants_key => {
                        let quoted = text.get(at..close).unwrap_or_default();
                        frame.key = serde_json::from_str(quoted).unwrap_or_default();
                        frame.wants_key = false;
                        at = close;
                        continue;
                    }
                    _ => close,
                }
            }
            Some(byte) if byte.is_ascii_whitespace() || *byte == b':' => {
                at += 1;
                continue;
            }
            _ => {
                let token = bytes.iter().skip(at).take_while(|byte| !b"{}[],:\"".contains(byte));
                let token = token.take_while(|byte| !byte.is_ascii_whitespace()).count();
                if at + token >= end {
                    break;
                }
                at + token
            }
        };
        at = next;
        cut = Cut { at, open: frames.len() };
    }
    // What was opened or closed since the last whole value is none: the frames up to there are the same.
    let open = frames.get(..cut.open).unwrap_or_default();
    let mut whole = text.get(..cut.at).unwrap_or_default().to_owned();
    whole.extend(open.iter().rev().map(|frame| if frame.is_object { '}' } else { ']' }));
    Damaged {
        text: whole,
        path: frames.last().map(Frame::inner).unwrap_or_default(),
        open: open.iter().map(|frame| frame.path.clone()).collect(),
    }
}

/// Behind the last whole value: the byte, and how many objects and lists are open there.
#[derive(Clone, Copy, Default)]
struct Cut {
    at: usize,
    open: usize,
}

/// The byte behind the closing quote of the string that opens at `at`.
fn end_of_string(bytes: &[u8], at: usize) -> Option<usize> {
    let mut escaped = false;
    for (place, byte) in bytes.iter().enumerate().skip(at + 1) {
        match byte {
            _ if escaped => escaped = false,
            b'\\' => escaped = true,
            b'"' => return Some(place + 1),
            _ => {}
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn part(text: &str, whole: &str, path: &str, open: &[&str]) {
        let error = serde_json::from_str::<serde_json::Value>(text).expect_err("it is damaged");
        let end = if error.is_eof() { text.len() } else { error.column().saturating_sub(1) };
        let damaged = readable_part(text, end);
        assert_eq!((damaged.text.as_str(), damaged.path.as_str()), (whole, path), "{text}");
        assert_eq!(damaged.open, open, "{text}");
        serde_json::from_str::<serde_json::Value>(&damaged.text).expect("what is left is JSON");
    }

    #[test]
    fn the_part_in_front_of_the_damage_is_closed() {
        part(r#"{"a": [1, {"b": 2, "c"#, r#"{"a": [1, {"b": 2}]}"#, "a[1]", &["", "a", "a[1]"]);
        part(r#"{"a": [1, 2,]}"#, r#"{"a": [1, 2]}"#, "a[2]", &["", "a"]);
        part(r#"{"a": nope, "b": 1}"#, "{}", "a", &[""]);
        part(r#"{"a": "x\"y" "b": 1}"#, r#"{"a": "x\"y"}"#, "a", &[""]);
        part(r#"{"a": 1} x"#, r#"{"a": 1}"#, "", &[]);
        part(r#"{"a": 12"#, "{}", "a", &[""]);
        part(r#"{"a": "ü]"#, "{}", "a", &[""]);
    }
}
