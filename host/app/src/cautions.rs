//! The cautions that stand on every plan.

/// For everybody. Stop signs and the duty to refer follow the common texts on exercise safety; sources are in
/// DEVELOPERS.md. Classwright neither diagnoses nor clears anyone.
pub const TEXTS: [&str; 4] = [
    "Stop on pain, chest discomfort, dizziness, faintness or unusual breathlessness, and tell the coach at once.",
    "See a licensed clinician about pain that is severe, stays or gets worse, about swelling, numbness or a joint that \
     gives way, after an operation, and before starting again with a heart, lung or metabolic condition.",
    "A limitation on a card is what the athlete reports. This plan neither diagnoses nor clears anyone.",
    "Local rules, the house's own rules and the coach on the floor come before this plan.",
];
