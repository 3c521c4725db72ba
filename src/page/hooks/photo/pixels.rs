//! A photo as pixels alone, smaller, and with its measurement drawn in where that is asked for.
//!
//! The browser decodes and encodes it anew: what a camera wrote beside the pixels (place, time, device) stays behind.

use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, ImageBitmap, ImageEncodeOptions, OffscreenCanvas, OffscreenCanvasRenderingContext2d};

use crate::day::Picture;
use crate::day::picture::{Drawn, KEPT_LONG_SIDE_PX, SMALL_LONG_SIDE_PX, fitted};
use crate::units::{PhotoPoint, PhotoSize};

/// Quality of the JPEG: common practice for photos that are looked at.
const QUALITY: f64 = 0.85;

/// The photo as it is kept, and its small picture. An error where the browser cannot read it.
pub async fn kept_and_small(photo: &Blob) -> Result<[Blob; 2], JsValue> {
    let bitmap = decoded(photo).await?;
    let kept = encoded(&drawn_smaller(&bitmap, KEPT_LONG_SIDE_PX)?.0).await?;
    let small = encoded(&drawn_smaller(&bitmap, SMALL_LONG_SIDE_PX)?.0).await?;
    bitmap.close();
    Ok([kept, small])
}

/// A photo that was kept, with card, points and the words drawn in.
pub async fn with_measurement(photo: &Blob, picture: &Picture, words: &str) -> Result<Blob, JsValue> {
    let bitmap = decoded(photo).await?;
    let (canvas, context) = drawn_smaller(&bitmap, KEPT_LONG_SIDE_PX)?;
    bitmap.close();
    if let Some(drawn) = picture.drawn(canvas.width()) {
        draw(&context, &drawn);
        caption(&context, &canvas, words)?;
    }
    encoded(&canvas).await
}

async fn decoded(photo: &Blob) -> Result<ImageBitmap, JsValue> {
    // Upright, as the file's orientation has it: the default of the HTML standard.
    let promise = gloo::utils::window().create_image_bitmap_with_blob(photo)?;
    JsFuture::from(promise).await?.dyn_into()
}

fn drawn_smaller(
    bitmap: &ImageBitmap,
    long_side_px: u32,
) -> Result<(OffscreenCanvas, OffscreenCanvasRenderingContext2d), JsValue> {
    let size = fitted(PhotoSize { width: bitmap.width(), height: bitmap.height() }, long_side_px);
    let canvas = OffscreenCanvas::new(size.width, size.height)?;
    let context: OffscreenCanvasRenderingContext2d =
        canvas.get_context("2d")?.ok_or(JsValue::UNDEFINED)?.dyn_into()?;
    let (width, height) = (f64::from(size.width), f64::from(size.height));
    context.draw_image_with_image_bitmap_and_dw_and_dh(bitmap, 0.0, 0.0, width, height)?;
    Ok((canvas, context))
}

async fn encoded(canvas: &OffscreenCanvas) -> Result<Blob, JsValue> {
    let options = ImageEncodeOptions::new();
    options.set_type("image/jpeg");
    options.set_quality(QUALITY);
    JsFuture::from(canvas.convert_to_blob_with_options(&options)?).await?.dyn_into()
}

/// Light lines on dark ones: they are seen on every deck.
fn draw(context: &OffscreenCanvasRenderingContext2d, drawn: &Drawn) {
    for (colour, wide) in [("#000", 2.0), ("#fff", 1.0)] {
        context.set_stroke_style_str(colour);
        context.set_line_width(wide * drawn.line_px);
        context.begin_path();
        trace(context, &drawn.card);
        context.close_path();
        trace(context, &drawn.points);
        for (point, radius) in drawn.points.iter().zip(drawn.radius_px) {
            context.move_to(point.x + 0.5 + radius, point.y + 0.5);
            // The radius is above 0: the one error that it has.
            let _ = context.arc(point.x + 0.5, point.y + 0.5, radius, 0.0, std::f64::consts::TAU);
        }
        context.stroke();
    }
}

/// A canvas counts from the rim of the first pixel, a photo from its centre.
fn trace(context: &OffscreenCanvasRenderingContext2d, points: &[PhotoPoint]) {
    for (at, point) in points.iter().enumerate() {
        let (x, y) = (point.x + 0.5, point.y + 0.5);
        if at == 0 { context.move_to(x, y) } else { context.line_to(x, y) }
    }
}

fn caption(
    context: &OffscreenCanvasRenderingContext2d,
    canvas: &OffscreenCanvas,
    words: &str,
) -> Result<(), JsValue> {
    let (width, height) = (f64::from(canvas.width()), f64::from(canvas.height()));
    let size = (height / 28.0).max(14.0);
    context.set_font(&format!("{size}px sans-serif"));
    context.set_fill_style_str("#000");
    context.fill_rect(0.0, height - 1.6 * size, width, 1.6 * size);
    context.set_fill_style_str("#fff");
    context.fill_text_with_max_width(words, 0.4 * size, height - 0.5 * size, width - 0.8 * size)
}
