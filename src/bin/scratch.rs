use shellspan::{camera::*, card::candidates::*, photo::*, units::*};
fn main() {
    for p in std::env::args().skip(1) {
        let b = std::fs::read(&p).unwrap();
        let t = std::time::Instant::now();
        let photo = match Photo::decode(&b, &Limits::default()) {
            Ok(p) => p,
            Err(e) => {
                println!("{p} {e}");
                continue;
            }
        };
        let t1 = t.elapsed();
        let (prior, _, h) = CameraPrior::of(&photo.exif, photo.size());
        let sp = SearchPicture::of(&photo);
        let t2 = t.elapsed();
        let segs = sp.segments();
        let t3 = t.elapsed();
        let c = sp.candidates(&prior, None, 60);
        let t4 = t.elapsed();
        let truth: Option<Vec<PhotoPoint>> =
            std::fs::read_to_string(p.replace(".jpg", ".json")).ok().and_then(|s| {
                let v: serde_json::Value = serde_json::from_str(&s).ok()?;
                Some(
                    v["card"]["corners_px"]
                        .as_array()?
                        .iter()
                        .map(|a| PhotoPoint::new(a[0].as_f64().unwrap(), a[1].as_f64().unwrap()))
                        .collect(),
                )
            });
        let err = |k: &[PhotoPoint; 4]| {
            truth.as_ref().map(|t| {
                (0..4)
                    .map(|turn| (0..4).map(|i| k[(i + turn) % 4].distance_px(t[i])).fold(0.0, f64::max))
                    .fold(1e9, f64::min)
            })
        };
        let mut rank = None;
        let mut best = 1e9;
        for (i, k) in c.iter().enumerate() {
            if let Some(e) = err(&k.corners) {
                if e < best {
                    best = e;
                }
                if rank.is_none() && e < 25.0 {
                    rank = Some((i, e, k.score));
                }
            }
        }
        println!(
            "{} {:?} {:?} f{:.0} dec {:?} red {:?} seg {:?} ({}) cand {:?} ({}) rank {:?} best {:.1} top {:.2}",
            &p[p.len() - 11..],
            photo.size(),
            h,
            prior.intrinsics.focal_px,
            t1,
            t2 - t1,
            t3 - t2,
            segs.len(),
            t4 - t3,
            c.len(),
            rank,
            best,
            c.first().map_or(0.0, |c| c.score)
        );
    }
}
