#![allow(missing_docs, clippy::all)]
use shellspan::{card::candidates::*, photo::*};
fn main() {
    let p = std::env::args().nth(1).unwrap();
    let b = std::fs::read(&p).unwrap();
    let photo = Photo::decode(&b, &Limits::default()).unwrap();
    let sp = SearchPicture::of(&photo);
    for s in sp.segments() {
        println!("{:.1} {:.1} {:.1} {:.1} {:.2}", s.a.x, s.a.y, s.b.x, s.b.y, s.strength);
    }
}
