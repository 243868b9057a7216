//! How large the muscles of the leg are, from height and mass: a scale for drawings and for comparing doses.
//! Means of healthy young adults; no statement about a client.

use setwright_model::{Kilograms, Muscle};

/// Volume in cubic centimetres.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct CubicCentimetres(pub f64);

/// A line of the table: volume = slope x V + offset.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VolumeLine {
    /// The muscle's own name.
    pub name: &'static str,
    /// The group it is counted with.
    pub group: Muscle,
    /// Share of the leg's volume.
    pub slope: f64,
    /// Offset, cubic centimetres.
    pub offset_cm3: f64,
}

const fn line(name: &'static str, group: Muscle, slope: f64, offset_cm3: f64) -> VolumeLine {
    VolumeLine { name, group, slope, offset_cm3 }
}

/// Muscles of the leg and hip (Handsfield 2014, J Biomech 47:631 (B)).
pub const LEG: [VolumeLine; 10] = [
    line("gluteus maximus", Muscle::Glutes, 0.123, -25.4),
    line("vastus lateralis", Muscle::Quads, 0.125, -55.7),
    line("adductor magnus", Muscle::Adductors, 0.0793, -4.7),
    line("soleus", Muscle::Calves, 0.0507, 78.2),
    line("vastus medialis", Muscle::Quads, 0.0631, -16.3),
    line("rectus femoris", Muscle::Quads, 0.0371, 4.97),
    line("vastus intermedius", Muscle::Quads, 0.0273, 76.5),
    line("semimembranosus", Muscle::Hamstrings, 0.0319, 18.2),
    line("biceps femoris, long head", Muscle::Hamstrings, 0.0256, 24.3),
    line("semitendinosus", Muscle::Hamstrings, 0.0285, -16.8),
];

/// Mean volumes of the arm and shoulder, cubic centimetres (Holzbaur 2007, J Biomech 40:742, from memory (m)).
pub const ARM_CM3: [(&str, f64); 6] = [
    ("deltoid", 380.0),
    ("triceps", 372.0),
    ("pectoralis major", 290.0),
    ("latissimus", 262.0),
    ("biceps", 144.0),
    ("brachialis", 144.0),
];

/// Volume of all the muscles of one leg (Handsfield 2014, J Biomech 47:631 (B)).
pub fn leg_volume(height_m: f64, mass: Kilograms) -> CubicCentimetres {
    CubicCentimetres(47.0 * height_m * mass.get() + 1285.0)
}

/// Volume of one muscle of the leg, by its own name; none when the table does not have it.
pub fn muscle_volume(name: &str, height_m: f64, mass: Kilograms) -> Option<CubicCentimetres> {
    let all = leg_volume(height_m, mass);
    LEG.iter().find(|l| l.name == name).map(|l| CubicCentimetres((l.slope * all.0 + l.offset_cm3).max(0.0)))
}

/// Volume of what the table has of a group; none when it has nothing of it.
pub fn group_volume(group: Muscle, height_m: f64, mass: Kilograms) -> Option<CubicCentimetres> {
    let parts = LEG.iter().filter(|l| l.group == group).filter_map(|l| muscle_volume(l.name, height_m, mass));
    parts.fold(None, |sum: Option<CubicCentimetres>, part| {
        Some(CubicCentimetres(sum.map_or(0.0, |s| s.0) + part.0))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_group_is_the_sum_of_its_muscles() {
        let quads = group_volume(Muscle::Quads, 1.75, Kilograms(75.0)).unwrap();
        assert!(quads.0 > muscle_volume("vastus lateralis", 1.75, Kilograms(75.0)).unwrap().0);
        assert_eq!(group_volume(Muscle::Chest, 1.75, Kilograms(75.0)), None);
        assert_eq!(muscle_volume("no such muscle", 1.75, Kilograms(75.0)), None);
    }
}
