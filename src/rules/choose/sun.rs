//! Sunrise and sunset from place and date, for waters that are closed at night. "About": the horizon's
//! height, the weather and the altitude shift them by minutes.

use chrono::NaiveDate;
use jiff::civil::Date;
use sunrise::{Coordinates, SolarDay, SolarEvent};

use crate::rules::pack::Place;

/// Sunrise and sunset that belong to one local day, in seconds since 1970-01-01T00:00Z. In the Americas
/// the sunset of a local day falls on the next UTC day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SunTimes {
    /// Sunrise.
    pub rise_unix_s: i64,
    /// Sunset.
    pub set_unix_s: i64,
}

/// Sunrise and sunset of the local day `date` at `place`; `None` where the sun stays up or down, or the
/// place or date is none.
pub fn sun_times(place: Place, date: Date) -> Option<SunTimes> {
    let coordinates = Coordinates::new(place.latitude_deg, place.longitude_deg)?;
    let day = NaiveDate::from_ymd_opt(
        i32::from(date.year()),
        u32::try_from(date.month()).ok()?,
        u32::try_from(date.day()).ok()?,
    )?;
    // The crate takes the solar day about the local noon of `day`, so the sunset follows the sunrise.
    let solar = SolarDay::new(coordinates, day);
    let at = |event| solar.event_time(event).map(|time| time.timestamp());
    Some(SunTimes { rise_unix_s: at(SolarEvent::Sunrise)?, set_unix_s: at(SolarEvent::Sunset)? })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: NREL's Solar Position Algorithm as in PyPI `pvlib` (sun_rise_set_transit_spa), UTC, sea
    /// level; the first row is also the worked example of the Almanac for Computers (1990). To 2 minutes.
    #[test]
    fn sunrise_and_sunset_match_the_solar_position_algorithm() {
        let rows = [
            (40.9, -74.3, (1990, 6, 25), "1990-06-25T09:26:29Z", "1990-06-26T00:32:55Z"),
            (44.63, -124.05, (2026, 6, 21), "2026-06-21T12:30:59Z", "2026-06-22T04:04:58Z"),
            (44.63, -124.05, (2026, 12, 21), "2026-12-21T15:50:04Z", "2026-12-22T00:38:18Z"),
            (44.63, -124.05, (2026, 3, 20), "2026-03-20T14:18:57Z", "2026-03-21T02:27:38Z"),
            (48.12, -122.76, (2026, 7, 1), "2026-07-01T12:15:11Z", "2026-07-02T04:14:45Z"),
            (58.30, -134.42, (2026, 6, 21), "2026-06-21T11:51:14Z", "2026-06-22T06:07:41Z"),
            (38.50, -76.40, (2026, 9, 1), "2026-09-01T10:35:00Z", "2026-09-01T23:35:25Z"),
        ];
        for (latitude_deg, longitude_deg, (year, month, day), rise, set) in rows {
            let date = Date::new(year, month, day).expect("a date");
            let times = sun_times(Place { latitude_deg, longitude_deg }, date).expect("the sun rises");
            let unix = |text: &str| text.parse::<jiff::Timestamp>().expect("a time").as_second();
            let off =
                [(times.rise_unix_s, rise), (times.set_unix_s, set)].map(|(got, text)| got - unix(text));
            assert!(off.iter().all(|off| off.abs() <= 120), "{date} {latitude_deg}: off by {off:?} s");
        }
    }

    #[test]
    fn no_sunset_under_the_midnight_sun() {
        let date = Date::new(2026, 6, 21).expect("a date");
        assert_eq!(sun_times(Place { latitude_deg: 71.0, longitude_deg: 25.0 }, date), None);
        assert_eq!(sun_times(Place { latitude_deg: f64::NAN, longitude_deg: 25.0 }, date), None);
    }
}
