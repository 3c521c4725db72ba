//! The day by the device's clock.

use jiff::civil::Date;

/// Today, local time.
pub fn today() -> Date {
    let now = js_sys::Date::new_0();
    let year = i16::try_from(now.get_full_year()).unwrap_or(2026);
    let month = i8::try_from(now.get_month() + 1).unwrap_or(1);
    let day = i8::try_from(now.get_date()).unwrap_or(1);
    Date::new(year, month, day).unwrap_or(Date::ZERO)
}
