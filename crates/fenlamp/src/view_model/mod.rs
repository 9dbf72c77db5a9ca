//! What the command line, the page and the booklet say alike; it reads none of them.

pub mod causes;
pub mod change_text;
pub mod daily_csv;
pub mod days;
pub mod diary;
pub mod feedstocks_text;
pub mod refusal;
pub mod sources_text;
pub mod store_text;
