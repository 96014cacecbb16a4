//! What was measured in the ground, judged against the layout; solving back and what changed. What does not belong
//! here: asking for readings (fallwise), drawing them (sheets, viewer).
#![forbid(unsafe_code)]
