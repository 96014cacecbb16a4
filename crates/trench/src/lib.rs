//! Numbers for whoever stands in the trench (tape ties, rod readings, earth, tests, floating pipe): sums from values
//! to values. What does not belong here: what a layout is, how a page is drawn.
#![forbid(unsafe_code)]
