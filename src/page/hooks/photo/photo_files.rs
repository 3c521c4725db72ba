//! The files of the crab's photos: the session names them by number, the page keeps them.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use yew::prelude::*;

use super::photo_file::PhotoFile;

/// Files by their numbers.
#[derive(Clone)]
pub struct PhotoFiles {
    files: Rc<RefCell<Vec<Rc<PhotoFile>>>>,
    last_serial: Rc<Cell<u64>>,
}

impl PhotoFiles {
    /// Keeps a file under a new number.
    pub fn keep(&self, blob: web_sys::Blob) -> u64 {
        let serial = self.last_serial.get() + 1;
        self.keep_as(serial, blob);
        serial
    }

    /// Keeps a file under the number it had.
    pub fn keep_as(&self, serial: u64, blob: web_sys::Blob) {
        self.last_serial.set(self.last_serial.get().max(serial));
        self.files.borrow_mut().push(Rc::new(PhotoFile::new(serial, blob)));
    }

    /// New numbers come after this one.
    pub fn go_on_after(&self, serial: u64) {
        self.last_serial.set(self.last_serial.get().max(serial));
    }

    /// The file of a number.
    pub fn get(&self, serial: u64) -> Option<Rc<PhotoFile>> {
        self.files.borrow().iter().find(|file| file.serial == serial).cloned()
    }

    /// Gives back all files but those of `serials`.
    pub fn keep_only(&self, serials: &[u64]) {
        self.files.borrow_mut().retain(|file| serials.contains(&file.serial));
    }
}

/// The page's photo files.
#[hook]
pub fn use_photo_files() -> PhotoFiles {
    (*use_memo((), |()| PhotoFiles { files: Rc::default(), last_serial: Rc::default() })).clone()
}
