//! The vessel's faces as conductances.

use uom::si::length::meter;
use uom::si::ratio::ratio;
use uom::si::volume::cubic_meter;

use crate::plan::{Faces, InsulationLayer, Shape, Siting, Top, Vessel, VesselKind};

use super::WarmthError;
use super::coefficients as c;
use super::conduction::{
    Layer, buried_ball_shape_factor_m, cylinder_resistance_k_w, disc_shape_factor_m,
    flat_resistance_m2k_w,
};
use super::earth::{Earth, Ground};
use super::geometry::{Measures, disc_diameter_m, measures};
use super::surface::{StillTop, Surface};
use super::surroundings::Surroundings;

/// Where a face looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Looks {
    /// To the side.
    Sideways,
    /// Up to the sky.
    Up,
    /// Down to the floor of a room.
    Down,
}

/// A face that meets the air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Face {
    pub(crate) looks: Looks,
    /// From the slurry to the outer surface, K/W.
    pub(crate) inner_k_w: f64,
    /// The same while heat comes in: under a hot lid the gas lies in layers and insulates.
    pub(crate) entering_k_w: f64,
    /// Outer surface, m2.
    pub(crate) outer_m2: f64,
}

impl Face {
    /// Conductance slurry to air with an outside film, W/K.
    pub(crate) fn conductance_w_k(&self, film_w_m2k: f64, entering: bool) -> f64 {
        let inner = if entering {
            self.entering_k_w
        } else {
            self.inner_k_w
        };
        1.0 / (inner + 1.0 / (film_w_m2k * self.outer_m2))
    }

    /// The part of the face that a heap leaves free.
    fn share(&self, share: f64) -> Face {
        Face {
            inner_k_w: self.inner_k_w / share,
            entering_k_w: self.entering_k_w / share,
            outer_m2: self.outer_m2 * share,
            ..*self
        }
    }
}

/// A path to the ground and the depth whose undisturbed temperature it meets.
#[derive(Debug, Clone)]
pub(crate) struct GroundPath {
    /// Slurry through the wall and all the earth at rest, W/K.
    conductance_w_k: f64,
    /// m.
    pub(crate) depth_m: f64,
    /// Undisturbed ground there today, degC.
    pub(crate) undisturbed_c: f64,
    /// The earth where it holds much heat.
    earth: Option<Earth>,
}

impl GroundPath {
    /// Through a layer of earth so thin, or one so long warmed, that it holds no heat back.
    fn at_rest(conductance_w_k: f64, depth_m: f64) -> Self {
        GroundPath {
            conductance_w_k,
            depth_m,
            undisturbed_c: 0.0,
            earth: None,
        }
    }

    /// To what the slurry sees of the ground, W/K.
    pub(crate) fn conductance_w_k(&self) -> f64 {
        match &self.earth {
            Some(earth) => earth.conductance_w_k(),
            None => self.conductance_w_k,
        }
    }

    /// What the slurry sees of the ground, degC.
    pub(crate) fn seen_c(&self) -> f64 {
        self.undisturbed_c + self.earth.as_ref().map_or(0.0, Earth::above_k)
    }

    /// Heat lost to the ground in a step, J, the slurry's mean given.
    pub(crate) fn settle(&mut self, mean_c: f64, dt_s: f64) -> f64 {
        let lost_j = self.conductance_w_k() * (mean_c - self.seen_c()) * dt_s;
        if let Some(earth) = &mut self.earth {
            earth.step(lost_j, dt_s);
        }
        lost_j
    }
}

/// How a heap lies about the vessel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct InHeap {
    /// Share of sides and top that it covers.
    pub(crate) covers: f64,
    /// Outer radius of heap and vessel as a half-ball, m: the ground under all of it is warm.
    pub(crate) radius_m: f64,
    /// Heap material below the vessel, m; zero: it stands on the ground.
    pub(crate) bed_m: f64,
}

/// A vessel's conductances.
#[derive(Debug, Clone)]
pub(crate) struct Envelope {
    /// Faces to the air.
    pub(crate) faces: Vec<Face>,
    /// Paths to the ground.
    pub(crate) grounds: Vec<GroundPath>,
    /// Slurry through the walls that a heap covers, to the outer surface, W/K.
    pub(crate) to_heap_w_k: f64,
    /// Slurry through a base bedded in the heap, to its outer surface, W/K; zero without a bed.
    pub(crate) base_to_heap_w_k: f64,
    /// Absorptance of the outermost surface.
    pub(crate) absorptance: f64,
}

impl Envelope {
    /// Conductances of a vessel, perhaps in a heap. A top that is no lid is left to
    /// [`super::surface`].
    pub(crate) fn new(
        vessel: &Vessel,
        insulation: &[InsulationLayer],
        ground: &Ground,
        insulation_factor: f64,
        heap: Option<InHeap>,
    ) -> Result<Self, WarmthError> {
        let m = measures(vessel);
        check_measures(vessel, &m)?;
        let layers = |face: Faces| layers_on(vessel, insulation, insulation_factor, face);
        // The slurry of a bag lies in its trench; what stands above the ground holds gas.
        let in_trench = vessel.kind == VesselKind::LongBag;
        let level = (vessel.liquid.get::<cubic_meter>() / vessel.volume.get::<cubic_meter>())
            .clamp(0.05, 1.0);
        let wet = if in_trench { 0.0 } else { level };
        let side = layers(Faces::Sides)?;
        let top = layers(Faces::Top)?;
        let base = layers(Faces::Base)?;
        let k_soil = ground.k_w_mk;

        let sides = side_faces(vessel, &m, &side, wet);
        let lid = (vessel.top == Top::Lid).then(|| Face {
            looks: Looks::Up,
            inner_k_w: (c::GAS_SPACE_UP_M2K_W + flat_resistance_m2k_w(&top)) / m.top_m2,
            entering_k_w: (c::GAS_SPACE_DOWN_M2K_W + flat_resistance_m2k_w(&top)) / m.top_m2,
            outer_m2: m.top_m2,
        });
        let base_k_w = (1.0 / c::rows().h_water_w_m2k + flat_resistance_m2k_w(&base)) / m.base_m2;
        let bedded = heap.is_some_and(|heap| heap.bed_m > 0.0);
        let mut faces = Vec::with_capacity(5);
        let mut grounds = Vec::with_capacity(2);
        match vessel.siting {
            Siting::Room(_) => {
                faces.extend(sides.iter().map(|side| side.face));
                faces.extend(lid);
                if !bedded {
                    faces.push(Face {
                        looks: Looks::Down,
                        inner_k_w: base_k_w,
                        entering_k_w: base_k_w,
                        outer_m2: m.base_m2,
                    });
                }
            }
            Siting::InGround { depth } => {
                let depth = depth.get::<meter>();
                let buried_m = (depth + 0.5 * m.height_m).max(0.0);
                let mut walls_w_k = if bedded { 0.0 } else { 1.0 / base_k_w };
                let mut buried_m2 = if bedded { 0.0 } else { m.base_m2 };
                let mut depth_m3 = buried_m2 * buried_m;
                let mut shared_m2 = m.base_m2;
                for side in &sides {
                    let under = side.below(buried_m);
                    walls_w_k += under / side.face.inner_k_w;
                    buried_m2 += under * side.inner_m2;
                    depth_m3 += under * side.inner_m2 * (buried_m - side.middle_below(buried_m));
                    shared_m2 += side.inner_m2;
                    if under < 1.0 {
                        faces.push(side.face.share(1.0 - under));
                    }
                }
                shared_m2 += m.top_m2;
                let ball = (6.0 * m.volume_m3 / std::f64::consts::PI).cbrt();
                let middle = depth.max(0.51 * ball);
                let soil_w_m2k = k_soil * buried_ball_shape_factor_m(ball, middle) / shared_m2;
                let cover_m = depth - 0.5 * m.height_m;
                match lid {
                    Some(lid) if cover_m > 0.0 => {
                        // Under a thin cover most of the lid's heat goes straight up, to ground
                        // that is as warm as its surface.
                        let straight_w_m2k = (k_soil / cover_m - soil_w_m2k).max(0.0);
                        let straight = straight_w_m2k / (straight_w_m2k + soil_w_m2k);
                        if straight > 0.0 {
                            let wall_k_w = lid.inner_k_w / straight;
                            let cover_k_w = 1.0 / (straight_w_m2k * m.top_m2);
                            grounds.push(GroundPath::at_rest(1.0 / (wall_k_w + cover_k_w), 0.0));
                        }
                        walls_w_k += (1.0 - straight) / lid.inner_k_w;
                        buried_m2 += m.top_m2;
                        depth_m3 += m.top_m2 * cover_m;
                    }
                    lid => faces.extend(lid),
                }
                let soil_w_k = soil_w_m2k * buried_m2;
                if walls_w_k > 0.0 && soil_w_k > 0.0 {
                    let (wall_k_w, soil_k_w) = (1.0 / walls_w_k, 1.0 / soil_w_k);
                    grounds.push(GroundPath {
                        conductance_w_k: 1.0 / (wall_k_w + soil_k_w),
                        depth_m: depth_m3 / buried_m2,
                        undisturbed_c: 0.0,
                        earth: Some(Earth::new(ground, buried_m2, wall_k_w, soil_k_w)),
                    });
                }
            }
            Siting::Outdoors | Siting::Shed | Siting::Greenhouse => {
                faces.extend(sides.iter().map(|side| side.face));
                faces.extend(lid);
                if !bedded {
                    grounds.push(on_ground(base_k_w, &m, ground, heap));
                }
            }
        }
        if vessel.earth_bank.get::<ratio>() > 0.0 {
            bank(&mut faces, &mut grounds, vessel, &m, k_soil);
        }
        let covered = heap.map_or(0.0, |heap| heap.covers.clamp(0.0, 1.0));
        let to_heap_w_k = covered * faces.iter().map(|face| 1.0 / face.inner_k_w).sum::<f64>();
        if covered >= 1.0 {
            faces.clear();
        } else if covered > 0.0 {
            faces = faces.iter().map(|face| face.share(1.0 - covered)).collect();
        }
        Ok(Envelope {
            faces,
            grounds,
            to_heap_w_k,
            base_to_heap_w_k: if bedded { 1.0 / base_k_w } else { 0.0 },
            absorptance: vessel.absorptance,
        })
    }

    /// Surface of a top that is no lid.
    pub(crate) fn surface(
        vessel: &Vessel,
        insulation: &[InsulationLayer],
        insulation_factor: f64,
        pressure_pa: f64,
        still: StillTop,
    ) -> Result<Option<Surface>, WarmthError> {
        let m = measures(vessel);
        // The wall's own material lies at the sides; a film is thin.
        let film = layers_on(vessel, insulation, insulation_factor, Faces::Top)?;
        Ok(Surface::new(
            vessel.top,
            m.top_m2,
            vessel.liquid.get::<cubic_meter>() / m.top_m2,
            flat_resistance_m2k_w(film.get(1..).unwrap_or_default()),
            vessel.absorptance,
            pressure_pa,
            still,
        ))
    }

    /// What the faces to the air do in an hour that begins with the slurry at a temperature.
    pub(crate) fn to_air(&self, around: &Surroundings, slurry_c: f64) -> AirSide {
        let mut side = AirSide::default();
        for face in &self.faces {
            let (sun, sky) = match face.looks {
                Looks::Sideways => (around.sun_side_w_m2, 0.0),
                Looks::Up => (around.sun_top_w_m2, around.sky_top_w_m2),
                Looks::Down => (0.0, 0.0),
            };
            let sun_k = self.absorptance * sun / around.film_w_m2k;
            let sky_k = c::rows().emissivity * sky / around.film_w_m2k;
            let entering = around.air_c + sun_k - sky_k > slurry_c;
            let ua = face.conductance_w_k(around.film_w_m2k, entering);
            side.conductance_w_k += ua;
            side.sun_w += ua * sun_k;
            side.sky_w += ua * sky_k;
        }
        side
    }
}

/// What the faces to the air do in an hour.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct AirSide {
    pub(crate) conductance_w_k: f64,
    /// Sun that reaches the slurry, W.
    pub(crate) sun_w: f64,
    /// Long-wave loss to the sky, W.
    pub(crate) sky_w: f64,
}

fn check_measures(vessel: &Vessel, m: &Measures) -> Result<(), WarmthError> {
    let liquid = vessel.liquid.get::<cubic_meter>();
    let volume = vessel.volume.get::<cubic_meter>();
    let positive = [
        m.side_m2,
        m.top_m2,
        m.base_m2,
        m.height_m,
        m.volume_m3,
        liquid,
        volume,
    ];
    if positive
        .iter()
        .any(|value| !value.is_finite() || *value <= 0.0)
    {
        return Err(WarmthError::Vessel("every measure must be above zero"));
    }
    if !(0.0..=1.0).contains(&vessel.absorptance) || !(0.0..=1.0).contains(&vessel.wind_exposure) {
        return Err(WarmthError::Vessel(
            "absorptance and wind exposure lie between 0 and 1",
        ));
    }
    Ok(())
}

/// A part of the sides and the heights between which it lies.
struct Side {
    face: Face,
    inner_m2: f64,
    from_m: f64,
    to_m: f64,
}

impl Side {
    /// Share of it that lies below a height.
    fn below(&self, height_m: f64) -> f64 {
        ((height_m - self.from_m) / (self.to_m - self.from_m)).clamp(0.0, 1.0)
    }

    /// Middle of that share, m.
    fn middle_below(&self, height_m: f64) -> f64 {
        0.5 * (self.from_m + self.to_m.min(height_m))
    }
}

/// Sides below and above the slurry's level.
fn side_faces(vessel: &Vessel, m: &Measures, layers: &[Layer], wet: f64) -> Vec<Side> {
    let side = |from: f64, to: f64, inside_m2k_w: f64| {
        let share = to - from;
        let area = m.side_m2 * share;
        let (walls_k_w, outer_m2) = match (vessel.shape, m.side_radius_m) {
            (Shape::StandingCylinder { .. }, Some(radius)) => {
                let height = m.height_m * share;
                let (resistance, outer) = cylinder_resistance_k_w(radius, height, layers);
                (resistance, 2.0 * std::f64::consts::PI * outer * height)
            }
            _ => (flat_resistance_m2k_w(layers) / area, area),
        };
        let inner_k_w = inside_m2k_w / area + walls_k_w;
        Side {
            face: Face {
                looks: Looks::Sideways,
                inner_k_w,
                entering_k_w: inner_k_w,
                outer_m2,
            },
            inner_m2: area,
            from_m: from * m.height_m,
            to_m: to * m.height_m,
        }
    };
    let mut sides = Vec::with_capacity(2);
    if wet > 0.0 {
        sides.push(side(0.0, wet, 1.0 / c::rows().h_water_w_m2k));
    }
    // Over an open vessel's slurry is the air itself, no gas that its dry walls cool.
    if wet < 1.0 && vessel.top != Top::Open {
        sides.push(side(wet, 1.0, c::GAS_SPACE_SIDEWAYS_M2K_W));
    }
    sides
}

/// A base on the ground, whose earth takes up heat in summer and gives it back. Round it a heap
/// warms the ground too, so that its heat must spread as far as that of the whole.
fn on_ground(base_k_w: f64, m: &Measures, ground: &Ground, heap: Option<InHeap>) -> GroundPath {
    let disc = disc_diameter_m(m.base_m2);
    let alone_k_w = 1.0 / (ground.k_w_mk * disc_shape_factor_m(disc));
    let depth_m = c::FAR_GROUND_DIAMETERS * disc;
    let Some(heap) = heap else {
        return GroundPath {
            conductance_w_k: 1.0 / (base_k_w + alone_k_w),
            depth_m,
            undisturbed_c: 0.0,
            earth: Some(Earth::new(ground, m.base_m2, base_k_w, alone_k_w)),
        };
    };
    let whole = 2.0 * heap.radius_m;
    let whole_m2 = std::f64::consts::PI * heap.radius_m * heap.radius_m;
    let within_k_w = whole_m2 / (ground.k_w_mk * disc_shape_factor_m(whole) * m.base_m2);
    GroundPath::at_rest(
        1.0 / (base_k_w + within_k_w.max(alone_k_w)),
        depth_m.max(heap.radius_m),
    )
}

/// Lay a bank of earth against a share of the sides that stand free.
fn bank(
    faces: &mut Vec<Face>,
    grounds: &mut Vec<GroundPath>,
    vessel: &Vessel,
    m: &Measures,
    k_soil: f64,
) {
    let share = vessel.earth_bank.get::<ratio>().clamp(0.0, 1.0);
    let free_m = match vessel.siting {
        Siting::InGround { depth } => 0.5 * m.height_m - depth.get::<meter>(),
        _ => m.height_m,
    };
    let thickness_m = c::BANK_THICKNESS * free_m;
    if thickness_m <= 0.0 {
        return;
    }
    let mut left = Vec::with_capacity(faces.len());
    for face in faces.iter() {
        if face.looks != Looks::Sideways {
            left.push(*face);
            continue;
        }
        let banked = face.share(share);
        grounds.push(GroundPath::at_rest(
            1.0 / (banked.inner_k_w + thickness_m / (k_soil * banked.outer_m2)),
            // Its own surface follows the air: half its thickness down it follows it less.
            0.5 * thickness_m,
        ));
        if share < 1.0 {
            left.push(face.share(1.0 - share));
        }
    }
    *faces = left;
}

/// Wall and insulation of a face, from the inside out.
fn layers_on(
    vessel: &Vessel,
    insulation: &[InsulationLayer],
    insulation_factor: f64,
    face: Faces,
) -> Result<Vec<Layer>, WarmthError> {
    let layer = |material: &str, thickness_m: f64, factor: f64| {
        let k_w_mk = c::conductivity_w_mk(material)
            .ok_or_else(|| WarmthError::Material(material.to_owned()))?;
        if !thickness_m.is_finite() || thickness_m < 0.0 {
            return Err(WarmthError::Vessel("a thickness cannot be negative"));
        }
        Ok(Layer {
            thickness_m,
            k_w_mk: k_w_mk * factor,
        })
    };
    let wall = layer(
        &vessel.wall_material,
        vessel.wall_thickness.get::<meter>(),
        1.0,
    )?;
    let mut layers = vec![wall];
    for part in insulation {
        if part.on == face || part.on == Faces::All {
            layers.push(layer(
                &part.material,
                part.thickness.get::<meter>(),
                insulation_factor,
            )?);
        }
    }
    Ok(layers)
}

#[cfg(test)]
mod tests {
    use super::*;

    const GROUND: Ground = Ground {
        k_w_mk: 1.5,
        diffusivity_m2_day: 0.05,
    };

    /// W through a broad base in the last of some hours, one kelvin warmer than the ground from
    /// the start.
    fn held(path: &mut GroundPath, hours: usize) -> f64 {
        (0..hours).fold(0.0, |_, _| path.settle(1.0, 3600.0) / 3600.0)
    }

    /// The ground under a base takes in much at first, less and less, and at last what the shape
    /// factor of a disc says.
    #[test]
    fn the_ground_under_a_base_fills_up() {
        let m = Measures {
            side_m2: 30.0,
            side_radius_m: None,
            top_m2: 100.0,
            base_m2: 100.0,
            height_m: 1.0,
            volume_m3: 100.0,
        };
        let path = || on_ground(1e-4, &m, &GROUND, None);
        let at_rest =
            1.0 / (1e-4 + 1.0 / (GROUND.k_w_mk * disc_shape_factor_m(disc_diameter_m(100.0))));
        let month = held(&mut path(), 24 * 30);
        let half_a_year = held(&mut path(), 24 * 182);
        let long = held(&mut path(), 24 * 365 * 60);
        assert!(month > 1.5 * half_a_year, "{month} {half_a_year}");
        assert!(half_a_year > 1.2 * at_rest, "{half_a_year} {at_rest}");
        assert!((long / at_rest - 1.0).abs() < 0.01, "{long} {at_rest}");
    }
}
