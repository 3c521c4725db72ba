#![allow(missing_docs, clippy::all)]
use shellspan::{
    camera::*, card::candidates::*, card::judge::*, photo::reduced::LinearLight, photo::*, units::*,
};
fn main() {
    let verbose = std::env::var("V").is_ok();
    let light = LinearLight::default();
    let mut sums = vec![];
    for p in std::env::args().skip(1) {
        let b = std::fs::read(&p).unwrap();
        let photo = match Photo::decode(&b, &Limits::default()) {
            Ok(p) => p,
            Err(e) => {
                println!("{p} {e}");
                continue;
            }
        };
        let t = std::time::Instant::now();
        let (prior, _, h) = CameraPrior::of(&photo.exif, photo.size());
        let sp = SearchPicture::of(&photo);
        let c = sp.candidates(&prior, None, 40);
        let t1 = t.elapsed();
        let f = photo.size().long_side().div_ceil(1200) as f64;
        let mut j: Vec<Judged> =
            c.iter().filter_map(|c| judge(&photo, &light, &c.corners, &prior, 2.0 * f + 5.0)).collect();
        j.sort_by(|a, b| b.score.total_cmp(&a.score));
        let t2 = t.elapsed();
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
        let errs = |k: &[PhotoPoint; 4]| {
            truth.as_ref().map(|t| {
                (0..4)
                    .map(|turn| {
                        let e: Vec<f64> = (0..4).map(|i| k[(i + turn) % 4].distance_px(t[i])).collect();
                        e
                    })
                    .min_by(|a, b| a.iter().sum::<f64>().total_cmp(&b.iter().sum()))
                    .unwrap()
            })
        };
        println!(
            "{} {:?} cand {} {:?} judged {} {:?}",
            &p[p.len().saturating_sub(14)..],
            h,
            c.len(),
            t1,
            j.len(),
            t2 - t1
        );
        let show = |j: &Judged| {
            println!(
                "    score {:.2} err {:.1?} u {:.2?} chi {:.1} rms {:.2} f{:.0} tilt {:.0} D{:.0} round {:.2?} sup {:.2?} sal {:.2?} bow {:.1?} at {:.0},{:.0}",
                j.score,
                errs(&j.corners),
                j.corner_u_px,
                j.refined.chi_square,
                j.refined.rms_px,
                j.refined.intrinsics.focal_px,
                j.refined.pose.tilt_deg(),
                j.refined.pose.distance_mm(),
                j.roundness,
                j.sides.map(|s| s.support),
                j.sides.map(|s| s.salience),
                j.sides.map(|s| s.bow_px),
                j.corners[0].x,
                j.corners[0].y
            )
        };
        let edges = |k: &[PhotoPoint; 4]| {
            if let Some(t) = &truth {
                let turn = (0..4)
                    .min_by(|&a, &b| {
                        let e = |q: usize| (0..4).map(|i| k[(i + q) % 4].distance_px(t[i])).sum::<f64>();
                        e(a).total_cmp(&e(b))
                    })
                    .unwrap();
                for i in 0..4 {
                    let (a, b) = (t[i], t[(i + 1) % 4]);
                    let l = a.distance_px(b);
                    let n = ((-(b.y - a.y)) / l, (b.x - a.x) / l);
                    let o = |q: PhotoPoint, r: PhotoPoint| (q.x - r.x) * n.0 + (q.y - r.y) * n.1;
                    print!(
                        "   edge{} in {:.1}/{:.1}",
                        i,
                        o(k[(i + turn) % 4], a),
                        o(k[(i + 1 + turn) % 4], b)
                    );
                }
                println!();
            }
        };
        let pos = truth
            .as_ref()
            .and_then(|_| j.iter().position(|k| errs(&k.corners).unwrap().iter().all(|&e| e < 20.0)));
        for k in j.iter().take(if verbose { 3 } else { 1 }) {
            show(k);
            edges(&k.corners);
        }
        if let Some(i) = pos {
            if i > 0 {
                print!("  true at {i}:");
                show(&j[i]);
            } else {
                sums.extend(errs(&j[0].corners).unwrap());
            }
        } else if truth.is_some() {
            println!("  MISSED");
        }
    }
    let n = sums.len() as f64;
    println!(
        "first in {} corner rms {:.2} median {:.2}",
        n / 4.0,
        (sums.iter().map(|e| e * e).sum::<f64>() / n).sqrt(),
        {
            sums.sort_by(f64::total_cmp);
            sums.get(sums.len() / 2).copied().unwrap_or(0.0)
        }
    );
}
