//! (Owner fills this room.)
