//! Why advice could not be given.

use fenlamp_model::reference::fuels;
use fenlamp_model::world::WorldError;
use fenlamp_report::advice::{HOW_TO_WISH, PaybackError, RecipeError, SizeError};

use crate::failure::Failure;
use crate::plan_file::Opened;

/// Of a recipe.
pub fn of_recipe(opened: &Opened, error: RecipeError) -> Failure {
    match error {
        RecipeError::NothingFed(why) => Failure::input(
            format!("{}: no recipe: {why}", opened.name),
            "a recipe is for a vessel that is fed, with [[waste]] in its plan",
        ),
        RecipeError::World(WorldError::Cancelled) => Failure::Stopped,
        e => Failure::Internal(format!("{}: {e}", opened.name)),
    }
}

/// Of a size.
pub fn of_size(opened: &Opened, error: SizeError) -> Failure {
    match error {
        SizeError::NoSuchPart(part) => Failure::input(
            format!(
                "{}: there is no {part} in it whose size would matter",
                opened.name
            ),
            format!("put one into the plan ([{part}] or [[{part}]]), of any size, and ask again"),
        ),
        SizeError::NoAmount => Failure::input("a size needs a wish with an amount", HOW_TO_WISH),
        SizeError::World(WorldError::Cancelled) => Failure::Stopped,
        e => Failure::Internal(format!("{}: {e}", opened.name)),
    }
}

/// Of a payback.
pub fn of_payback(error: PaybackError) -> Failure {
    let names: Vec<&str> = fuels().iter().map(|f| f.id.as_str()).collect();
    let help = match error {
        PaybackError::NoSuchFuel(_) => format!("there are: {}", names.join(", ")),
        PaybackError::BadPrice(_) => "write a plain number, like 250".to_owned(),
    };
    Failure::input(error.to_string(), help)
}
