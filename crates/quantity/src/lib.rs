//! Quantities as people write them: "55 gal", "98 °F", "6 in wc", "3 buckets/week".
