//! The vessel's faces as conductances.

use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use crate::plan::{Faces, InsulationLayer, Shape, Siting, Soil, Vessel, VesselKind};

use super::WarmthError;
use super::coefficients as c;
use super::conduction::{
    Layer, buried_ball_shape_factor_m, cylinder_resistance_k_w, disc_shape_factor_m,
    flat_resistance_m2k_w,
};
use super::geometry::{Measures, disc_diameter_m, measures};
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

/// A vessel's conductances.
#[derive(Debug, Clone)]
pub(crate) struct Envelope {
    /// Faces to the air.
    pub(crate) faces: Vec<Face>,
    /// To the ground, W/K.
    pub(crate) ground_w_k: f64,
    /// Depth whose undisturbed temperature the ground part meets, m.
    pub(crate) ground_depth_m: f64,
    /// Slurry through the walls that a heap covers, to the outer surface, W/K.
    pub(crate) to_heap_w_k: f64,
    /// Absorptance of the outermost surface.
    pub(crate) absorptance: f64,
}

impl Envelope {
    /// Conductances of a vessel of which a heap covers a share of sides and top.
    pub(crate) fn new(
        vessel: &Vessel,
        insulation: &[InsulationLayer],
        soil: Soil,
        insulation_factor: f64,
        covered: f64,
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
        let k_soil = c::soil_conductivity_w_mk(soil);

        let mut faces = side_faces(vessel, &m, &side, wet);
        let lid = Face {
            looks: Looks::Up,
            inner_k_w: (c::GAS_SPACE_UP_M2K_W + flat_resistance_m2k_w(&top)) / m.top_m2,
            entering_k_w: (c::GAS_SPACE_DOWN_M2K_W + flat_resistance_m2k_w(&top)) / m.top_m2,
            outer_m2: m.top_m2,
        };
        let base_k_w = (1.0 / c::rows().h_water_w_m2k + flat_resistance_m2k_w(&base)) / m.base_m2;
        let (ground_w_k, ground_depth_m) = match vessel.siting {
            Siting::Room(_) => {
                faces.push(lid);
                faces.push(Face {
                    looks: Looks::Down,
                    inner_k_w: base_k_w,
                    entering_k_w: base_k_w,
                    outer_m2: m.base_m2,
                });
                (0.0, 1.0)
            }
            Siting::InGround { depth } => {
                let depth = depth.get::<meter>();
                let lid_buried = depth > m.height_m / 2.0;
                let mut walls_w_k: f64 = faces.iter().map(|face| 1.0 / face.inner_k_w).sum();
                walls_w_k += 1.0 / base_k_w;
                let mut share = 1.0;
                if lid_buried {
                    walls_w_k += 1.0 / lid.inner_k_w;
                    faces.clear();
                } else {
                    let all = m.side_m2 + m.base_m2 + m.top_m2;
                    share = (m.side_m2 + m.base_m2) / all;
                    faces = vec![lid];
                }
                let ball = (6.0 * m.volume_m3 / std::f64::consts::PI).cbrt();
                let middle = depth.max(0.51 * ball);
                let soil_w_k = share * k_soil * buried_ball_shape_factor_m(ball, middle);
                (1.0 / (1.0 / walls_w_k + 1.0 / soil_w_k), depth)
            }
            Siting::Outdoors | Siting::Shed | Siting::Greenhouse => {
                faces.push(lid);
                let disc = disc_diameter_m(m.base_m2);
                let soil_k_w = 1.0 / (k_soil * disc_shape_factor_m(disc));
                (1.0 / (base_k_w + soil_k_w), c::FAR_GROUND_DIAMETERS * disc)
            }
        };
        let covered = covered.clamp(0.0, 1.0);
        let to_heap_w_k = covered * faces.iter().map(|face| 1.0 / face.inner_k_w).sum::<f64>();
        if covered >= 1.0 {
            faces.clear();
        } else if covered > 0.0 {
            faces = faces.iter().map(|face| face.share(1.0 - covered)).collect();
        }
        Ok(Envelope {
            faces,
            ground_w_k,
            ground_depth_m,
            to_heap_w_k,
            absorptance: vessel.absorptance,
        })
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

/// Sides below and above the slurry's level.
fn side_faces(vessel: &Vessel, m: &Measures, layers: &[Layer], wet: f64) -> Vec<Face> {
    let face = |share: f64, inside_m2k_w: f64| {
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
        Face {
            looks: Looks::Sideways,
            inner_k_w,
            entering_k_w: inner_k_w,
            outer_m2,
        }
    };
    let mut faces = Vec::with_capacity(4);
    if wet > 0.0 {
        faces.push(face(wet, 1.0 / c::rows().h_water_w_m2k));
    }
    if wet < 1.0 {
        faces.push(face(1.0 - wet, c::GAS_SPACE_SIDEWAYS_M2K_W));
    }
    faces
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
