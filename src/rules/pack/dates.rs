//! How dates and times stand in the JSON Schema (jiff's own types have none).

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};

/// A date, `2026-11-25`.
pub struct DateText;

impl JsonSchema for DateText {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Date".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "string", "format": "date", "description": "A date: `2026-11-25`." })
    }
}

/// A time of the day, `07:00:00` or `07:00`.
pub struct TimeText;

impl JsonSchema for TimeText {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "LocalTime".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string", "format": "local-time", "description": "A local time of the day: `07:00`."
        })
    }
}
