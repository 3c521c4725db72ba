//! `--picture`: the photo with the measurement drawn in, as PNG. It carries pixels alone: no place, time or device.

use std::path::Path;

use font8x8::legacy::BASIC_LEGACY;
use image::{Rgb, RgbImage};
use imageproc::drawing::{draw_antialiased_line_segment_mut, draw_filled_rect_mut, draw_hollow_ellipse_mut};
use imageproc::pixelops::interpolate;
use imageproc::rect::Rect;
use shellspan::measure::Measurement;
use shellspan::photo::Photo;
use shellspan::units::PhotoPoint;

/// Light on dark is seen on every deck.
const LIGHT: Rgb<u8> = Rgb([255, 255, 255]);
const DARK: Rgb<u8> = Rgb([0, 0, 0]);
/// A character is 8 dots high; the caption takes this share of the photo's height.
const CAPTION: u32 = 40;

/// Draws card, points with twice their uncertainty, line and width, and writes the file.
pub fn save(photo: &Photo, measurement: &Measurement, file: &Path) -> Result<(), String> {
    let size = photo.size();
    let (width, height) = (size.width, size.height);
    let mut picture = RgbImage::from_fn(width, height, |x, y| {
        Rgb(photo.rgb(i64::from(x), i64::from(y)).map(|value| value.round() as u8))
    });
    let thick = (height / 400).max(2);
    let corners = measurement.scene.card.corners;
    for i in 0..4 {
        line(&mut picture, corners[i], corners[(i + 1) % 4], thick);
    }
    let [left, right] = measurement.points.map(|marked| marked.point);
    line(&mut picture, left, right, thick);
    for marked in &measurement.points {
        let (xx, yy) = (marked.covariance_px2[(0, 0)], marked.covariance_px2[(1, 1)]);
        // Twice the standard uncertainty, and never too small to be seen.
        let radius = |variance: f64| (2.0 * variance.sqrt()).max(f64::from(2 * thick)).round() as i32;
        let at = (marked.point.x.round() as i32, marked.point.y.round() as i32);
        for grow in 0..2 * thick as i32 {
            let colour = if grow < thick as i32 { LIGHT } else { DARK };
            draw_hollow_ellipse_mut(&mut picture, at, radius(xx) + grow, radius(yy) + grow, colour);
        }
    }
    let told = &measurement.width;
    caption(&mut picture, &format!("{:.1} mm, give or take {:.1} mm", told.width_mm, told.u_mm));
    picture
        .save_with_format(file, image::ImageFormat::Png)
        .map_err(|error| format!("{}: {error}", file.display()))
}

/// A light line between two dark ones.
fn line(picture: &mut RgbImage, from: PhotoPoint, to: PhotoPoint, thick: u32) {
    let (dx, dy) = (to.x - from.x, to.y - from.y);
    let long = dx.hypot(dy).max(1.0);
    let thick = i64::from(thick);
    for step in -2 * thick..=2 * thick {
        let aside = step as f64 / 2.0;
        let shift = |point: PhotoPoint| {
            ((point.x - aside * dy / long).round() as i32, (point.y + aside * dx / long).round() as i32)
        };
        let colour = if step.abs() < thick { LIGHT } else { DARK };
        draw_antialiased_line_segment_mut(picture, shift(from), shift(to), colour, interpolate);
    }
}

/// Words in the lower left corner, on a dark ground.
fn caption(picture: &mut RgbImage, words: &str) {
    let (width, height) = picture.dimensions();
    let letters = u32::try_from(words.len()).unwrap_or(u32::MAX).max(1);
    let dot = (height / CAPTION / 8).min(width / (8 * (letters + 2))).max(1);
    let (high, wide) = (12 * dot, (8 * (letters + 1) * dot).min(width));
    let top = height.saturating_sub(high);
    draw_filled_rect_mut(picture, Rect::at(0, top as i32).of_size(wide, high), DARK);
    for (at, letter) in (0..).zip(words.bytes()) {
        let glyph = BASIC_LEGACY.get(usize::from(letter)).copied().unwrap_or_default();
        for (row, bits) in (0..).zip(glyph) {
            for column in (0..8).filter(|column| bits >> column & 1 == 1) {
                let corner = (((8 * at + 4 + column) * dot) as i32, (top + (2 + row) * dot) as i32);
                draw_filled_rect_mut(picture, Rect::at(corner.0, corner.1).of_size(dot, dot), LIGHT);
            }
        }
    }
}
