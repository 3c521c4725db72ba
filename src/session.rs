//! What the person has said so far: action to session, pure.
