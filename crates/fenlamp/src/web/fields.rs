//! What can be filled in: every part of a plan, its fields, in plain words.
//!
//! The reader in `core::plan` decides what is allowed; here stands only how it is
//! asked. A test holds the two together: each key of the demos has a field, and
//! the reader knows each field.

/// How a field is filled in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Kind {
    /// A quantity with its unit, as text; with a slider where one number stands in it.
    Amount,
    /// One of a few words; the first is what holds when none is written.
    Choice(&'static [&'static str]),
    /// A bare number.
    Number,
    /// A day.
    Date,
    /// Yes or no.
    Yes,
    /// Free text.
    Text,
    /// A long free text.
    Long,
    /// A feedstock by id, with the list to choose from.
    Feedstock,
    /// An animal by id.
    Animal,
}

/// One field.
#[derive(Debug, Clone, Copy)]
pub struct Field {
    /// Key in its table.
    pub key: &'static str,
    /// How it is called.
    pub label: &'static str,
    /// How it is filled in.
    pub kind: Kind,
    /// A word of help: what is meant, what holds when it is left empty.
    pub help: &'static str,
    /// Shown only when another field of the table says one of these.
    pub only: Option<(&'static str, &'static [&'static str])>,
}

/// One table of the plan, or a list of them.
#[derive(Debug, Clone, Copy)]
pub struct Table {
    /// Path: `vessel`, `waste`, `heap.part`.
    pub path: &'static str,
    /// A list of tables.
    pub list: bool,
    /// Its heading; of a list, that of one item.
    pub title: &'static str,
    /// What it is about.
    pub about: &'static str,
    /// Can be left out.
    pub optional: bool,
    /// Fields.
    pub fields: &'static [Field],
    /// What a new one begins with: key, value as TOML in metric and in US units.
    pub first: &'static [(&'static str, &'static str, &'static str)],
}

/// A page of tables that belong together.
#[derive(Debug, Clone, Copy)]
pub struct Part {
    /// Name in addresses.
    pub id: &'static str,
    /// Its heading.
    pub title: &'static str,
    /// Tables on it.
    pub tables: &'static [Table],
}

const fn f(key: &'static str, label: &'static str, kind: Kind, help: &'static str) -> Field {
    Field {
        key,
        label,
        kind,
        help,
        only: None,
    }
}

const fn when(field: Field, other: &'static str, says: &'static [&'static str]) -> Field {
    Field {
        only: Some((other, says)),
        ..field
    }
}

use Kind::{Amount, Animal, Choice, Date, Feedstock, Long, Number, Text, Yes};

/// Insulation materials, as the reader names them.
const INSULATION: &[&str] = &[
    "straw bale",
    "dry straw bale",
    "wet straw bale",
    "loose straw",
    "hay",
    "leaves",
    "wood shavings",
    "sawdust",
    "dry wood chips",
    "damp wood chips",
    "polystyrene board",
    "xps",
    "polyurethane foam",
    "pir",
    "phenolic foam",
    "cellular glass",
    "stone wool",
    "mineral wool",
    "softwood",
];

const WALLS: &[&str] = &[
    "",
    "hdpe",
    "plastic",
    "pvc",
    "rubber",
    "steel",
    "stainless steel",
    "concrete",
    "brick",
    "glass",
    "wood",
    "aluminium",
];

/// All parts, in the order in which a plant is thought of.
pub const PARTS: &[Part] = &[
    Part {
        id: "waste",
        title: "What goes in",
        tables: &[
            Table {
                path: "waste",
                list: true,
                title: "Waste",
                about: "What you throw away, and when. Either so many animals and the share of \
                        their dung that you can gather, or an amount.",
                optional: true,
                fields: &[
                    f(
                        "feedstock",
                        "What it is",
                        Feedstock,
                        "Left empty, it follows from the animal.",
                    ),
                    f(
                        "animal",
                        "Animal",
                        Animal,
                        "Only for dung counted by heads.",
                    ),
                    f("head", "How many", Number, "Heads."),
                    f(
                        "collected",
                        "Share gathered",
                        Amount,
                        "100 % when always housed, about 50 % when housed at night.",
                    ),
                    f(
                        "amount",
                        "Amount",
                        Amount,
                        "Like 2 kg/day, 1 bucket/week, 400 g/day.",
                    ),
                    f(
                        "by_month",
                        "Amount by month",
                        Long,
                        "Twelve numbers, January first, then the unit.",
                    ),
                    f(
                        "months",
                        "Months",
                        Text,
                        "Like May-Oct, or Jun, Jul. Left empty: all year.",
                    ),
                ],
                first: &[
                    (
                        "feedstock",
                        "\"kitchen_waste_mixed\"",
                        "\"kitchen_waste_mixed\"",
                    ),
                    ("amount", "\"500 g/day\"", "\"1 lb/day\""),
                ],
            },
            Table {
                path: "feedstock",
                list: true,
                title: "Waste of your own description",
                about: "For what the book does not know, or where you have measured it: say which \
                        published waste it is most like, and only what differs.",
                optional: true,
                fields: &[
                    f(
                        "id",
                        "Short id",
                        Text,
                        "Small letters, digits, underscores.",
                    ),
                    f("name", "Name", Text, ""),
                    f(
                        "like",
                        "Most like",
                        Feedstock,
                        "What you do not state is taken from there.",
                    ),
                    f(
                        "total_solids",
                        "Dry matter",
                        Amount,
                        "Share of the fresh mass, like 22 %.",
                    ),
                    f("total_solids_low", "Dry matter, least", Amount, ""),
                    f("total_solids_high", "Dry matter, most", Amount, ""),
                    f(
                        "volatile_solids",
                        "Volatile solids",
                        Amount,
                        "Share of the dry matter that burns away.",
                    ),
                    f(
                        "methane",
                        "Methane potential",
                        Amount,
                        "Per kg of volatile solids, like 250 L/kg.",
                    ),
                    f("methane_low", "Methane, least", Amount, ""),
                    f("methane_high", "Methane, most", Amount, ""),
                    f(
                        "hydrolysis",
                        "Speed of breakdown",
                        Amount,
                        "At 35 °C, like 0.2 per day.",
                    ),
                    f("hydrolysis_low", "Speed, least", Amount, ""),
                    f("hydrolysis_high", "Speed, most", Amount, ""),
                    f("nitrogen", "Nitrogen", Amount, "Share of the dry matter."),
                    f("ammonium_share", "Of it ammonium", Amount, ""),
                    f("sulfur", "Sulfur", Amount, "Share of the dry matter."),
                    f("iron", "Iron", Amount, "Share of the dry matter."),
                    f(
                        "carbohydrate",
                        "Carbohydrate",
                        Amount,
                        "Share of the dry matter.",
                    ),
                    f("protein", "Protein", Amount, ""),
                    f("fat", "Fat", Amount, ""),
                    f("lignin", "Lignin", Amount, ""),
                    f("acids", "Acids", Amount, ""),
                    f(
                        "soluble_share",
                        "Dissolves at once",
                        Amount,
                        "Share of what can be digested.",
                    ),
                    f(
                        "bulk_density",
                        "Bulk density",
                        Amount,
                        "How heavy a bucket of it is, like 500 kg/m3.",
                    ),
                    f("ph", "pH when fresh", Number, ""),
                ],
                first: &[
                    ("id", "\"my_waste\"", "\"my_waste\""),
                    ("name", "\"My waste\"", "\"My waste\""),
                    ("like", "\"kitchen_waste_mixed\"", "\"kitchen_waste_mixed\""),
                ],
            },
        ],
    },
    Part {
        id: "vessel",
        title: "The vessel",
        tables: &[
            Table {
                path: "vessel",
                list: false,
                title: "Vessel",
                about: "",
                optional: false,
                fields: &[
                    f(
                        "kind",
                        "Kind",
                        Choice(&["drum", "tote", "tank", "sunken tank", "long bag"]),
                        "",
                    ),
                    f("volume", "Volume to the brim", Amount, ""),
                    f(
                        "slurry",
                        "Slurry when full",
                        Amount,
                        "To the overflow; the rest is room for gas and foam. Left empty: 80 % of the volume.",
                    ),
                    when(
                        f(
                            "diameter",
                            "Inside diameter",
                            Amount,
                            "Left empty: the usual shape.",
                        ),
                        "kind",
                        &["drum", "tank", "sunken tank", "long bag"],
                    ),
                    when(
                        f("height", "Inside height", Amount, ""),
                        "kind",
                        &["drum", "tote", "tank", "sunken tank"],
                    ),
                    when(
                        f("length", "Inside length", Amount, ""),
                        "kind",
                        &["tote", "tank", "sunken tank", "long bag"],
                    ),
                    when(
                        f("width", "Inside width", Amount, ""),
                        "kind",
                        &["tote", "tank", "sunken tank"],
                    ),
                    f(
                        "wall",
                        "Wall",
                        Choice(WALLS),
                        "Left empty: what is usual for the kind.",
                    ),
                    f("wall_thickness", "Thickness of the wall", Amount, ""),
                    f(
                        "surface",
                        "Colour of the outside",
                        Choice(&["", "black", "white", "coloured"]),
                        "It decides how much sun is taken up.",
                    ),
                    f(
                        "stands",
                        "Stands",
                        Choice(&["outdoors", "shed", "room", "greenhouse", "in ground"]),
                        "",
                    ),
                    when(
                        f("room_temperature", "Room kept at", Amount, ""),
                        "stands",
                        &["room"],
                    ),
                    when(
                        f(
                            "depth",
                            "Depth of its middle",
                            Amount,
                            "Below the surface of the ground.",
                        ),
                        "stands",
                        &["in ground"],
                    ),
                    f(
                        "wind",
                        "Wind",
                        Choice(&["normal", "sheltered", "exposed"]),
                        "",
                    ),
                    f(
                        "filler",
                        "Space taken by filler",
                        Amount,
                        "Wood chips inside that do not digest; 0 % without.",
                    ),
                    f(
                        "solids_stay",
                        "Solids stay longer than liquid",
                        Number,
                        "Times; 1 when they leave together.",
                    ),
                    f(
                        "run",
                        "How it is run",
                        Choice(&["", "overflow", "draw off", "topped up", "batch"]),
                        "Left empty: overflow when it is fed, batch when not.",
                    ),
                    when(
                        f("draw_off_every", "Drawn off every", Amount, ""),
                        "run",
                        &["draw off"],
                    ),
                    when(
                        f(
                            "draw_off_leaves",
                            "Drawn down to",
                            Amount,
                            "Share of the slurry that stays.",
                        ),
                        "run",
                        &["draw off"],
                    ),
                ],
                first: &[],
            },
            Table {
                path: "slurry",
                list: false,
                title: "Held temperature",
                about: "Only when the slurry is held at a temperature, or a probe's record is used \
                        in place of the heat balance.",
                optional: true,
                fields: &[
                    f("temperature", "Held at", Amount, "Like 35 °C."),
                    f(
                        "file",
                        "Or record of a probe",
                        Text,
                        "A CSV file beside the plan.",
                    ),
                ],
                first: &[("temperature", "\"35 °C\"", "\"95 °F\"")],
            },
        ],
    },
    Part {
        id: "warmth",
        title: "Keeping it warm",
        tables: &[
            Table {
                path: "insulation",
                list: true,
                title: "Insulation",
                about: "Layers from the wall outwards.",
                optional: true,
                fields: &[
                    f("on", "On", Choice(&["all", "sides", "top", "base"]), ""),
                    f("material", "Material", Choice(INSULATION), ""),
                    f("thickness", "Thickness", Amount, ""),
                ],
                first: &[
                    ("on", "\"all\"", "\"all\""),
                    ("material", "\"straw bale\"", "\"straw bale\""),
                    ("thickness", "\"36 cm\"", "\"14 in\""),
                ],
            },
            Table {
                path: "heap",
                list: false,
                title: "Heap around the vessel",
                about: "Wood chips, straw, stable litter: they warm the vessel while they rot.",
                optional: true,
                fields: &[
                    f(
                        "volume",
                        "Volume as built",
                        Amount,
                        "The vessel not counted.",
                    ),
                    f("density", "Density", Amount, ""),
                    f("moisture", "Moisture", Amount, "Share of water, by weight."),
                    f("built", "Built on", Date, ""),
                    f(
                        "rebuilt_every",
                        "Rebuilt every",
                        Amount,
                        "With fresh material; left empty: never.",
                    ),
                    f(
                        "watered_every",
                        "Watered every",
                        Amount,
                        "Back to the moisture it had; left empty: never.",
                    ),
                    f(
                        "covers",
                        "Covers of the vessel",
                        Amount,
                        "Share of its side and top.",
                    ),
                    f(
                        "cover",
                        "Cover over the heap",
                        Choice(&[
                            "none",
                            "straw",
                            "loose straw",
                            "straw bale",
                            "hay",
                            "leaves",
                        ]),
                        "",
                    ),
                    f("cover_thickness", "Thickness of the cover", Amount, ""),
                ],
                first: &[
                    ("volume", "\"8 m3\"", "\"10 cu yd\""),
                    ("built", "TODAY", "TODAY"),
                    ("rebuilt_every", "\"180 days\"", "\"180 days\""),
                    ("watered_every", "\"30 days\"", "\"30 days\""),
                ],
            },
            Table {
                path: "heap.part",
                list: true,
                title: "Material of the heap",
                about: "Shares of the dry matter; together 100 %.",
                optional: true,
                fields: &[
                    f("feedstock", "What it is", Feedstock, ""),
                    f("share", "Share", Amount, ""),
                ],
                first: &[
                    (
                        "feedstock",
                        "\"wood_chips_hardwood\"",
                        "\"wood_chips_hardwood\"",
                    ),
                    ("share", "\"100 %\"", "\"100 %\""),
                ],
            },
            Table {
                path: "heater",
                list: false,
                title: "Heater",
                about: "A coil of hot water or a heating cable.",
                optional: true,
                fields: &[
                    f("power", "Heat", Amount, ""),
                    f("up_to", "Switches off at", Amount, "Left empty: 35 °C."),
                ],
                first: &[("power", "\"100 W\"", "\"100 W\"")],
            },
        ],
    },
    Part {
        id: "feeding",
        title: "Filling and feeding",
        tables: &[
            Table {
                path: "feeding",
                list: false,
                title: "Feeding",
                about: "",
                optional: true,
                fields: &[
                    f("every", "Fed every", Amount, ""),
                    f(
                        "from",
                        "Fed from",
                        Amount,
                        "Day after the fill, like day 14.",
                    ),
                    f(
                        "ramp",
                        "Rises over",
                        Amount,
                        "Days from nothing to the full amount.",
                    ),
                    f(
                        "water",
                        "Water",
                        Amount,
                        "\"to 8 % solids\", \"1 kg/kg\" (water per fresh waste) or \"none\".",
                    ),
                ],
                first: &[("water", "\"to 8 % solids\"", "\"to 8 % solids\"")],
            },
            Table {
                path: "first_fill",
                list: false,
                title: "First filling",
                about: "",
                optional: true,
                fields: &[f(
                    "water",
                    "Water",
                    Amount,
                    "Left empty: up to the slurry level.",
                )],
                first: &[],
            },
            Table {
                path: "first_fill.feed",
                list: true,
                title: "Waste in the first filling",
                about: "",
                optional: true,
                fields: &[
                    f("feedstock", "What it is", Feedstock, ""),
                    f("amount", "Amount", Amount, "Like 30 kg or 3 buckets."),
                ],
                first: &[
                    ("feedstock", "\"cow_dung\"", "\"cow_dung\""),
                    ("amount", "\"20 kg\"", "\"40 lb\""),
                ],
            },
            Table {
                path: "seed",
                list: false,
                title: "Seed",
                about: "A working culture put in on the first day: it decides how soon gas comes \
                        and whether a start sours.",
                optional: true,
                fields: &[
                    f(
                        "kind",
                        "Kind",
                        Choice(&["digestate", "old slurry", "rumen", "pond mud"]),
                        "",
                    ),
                    f("volume", "Volume", Amount, ""),
                    f(
                        "grown_at",
                        "Grown at",
                        Amount,
                        "How warm it was where it comes from.",
                    ),
                    f(
                        "age",
                        "Days on the way",
                        Amount,
                        "Since it left a working vessel, kept closed.",
                    ),
                    f(
                        "volatile_solids",
                        "Volatile solids",
                        Amount,
                        "Share of the wet mass, where it was measured.",
                    ),
                ],
                first: &[
                    ("kind", "\"digestate\"", "\"digestate\""),
                    ("volume", "\"20 L\"", "\"5 gal\""),
                    ("grown_at", "\"30 °C\"", "\"86 °F\""),
                ],
            },
            Table {
                path: "additive",
                list: true,
                title: "Ash, lime and other doses",
                about: "Lime and soda burn eyes and skin; iron chloride eats them. Goggles and gloves.",
                optional: true,
                fields: &[
                    f(
                        "kind",
                        "Kind",
                        Choice(&[
                            "wood ash",
                            "slaked lime",
                            "bicarbonate",
                            "iron chloride",
                            "gypsum",
                        ]),
                        "",
                    ),
                    f("dose", "Dose", Amount, ""),
                    f(
                        "when",
                        "When",
                        Text,
                        "\"at fill\", \"day 30\" or \"every 30 days\".",
                    ),
                ],
                first: &[
                    ("kind", "\"wood ash\"", "\"wood ash\""),
                    ("dose", "\"200 g\"", "\"1/2 lb\""),
                    ("when", "\"at fill\"", "\"at fill\""),
                ],
            },
        ],
    },
    Part {
        id: "wash",
        title: "Washing the gas",
        tables: &[
            Table {
                path: "wash",
                list: true,
                title: "Wash",
                about: "In the order in which the gas passes.",
                optional: true,
                fields: &[
                    f("kind", "Kind", Choice(&["lye jar", "iron packing"]), ""),
                    f("mass", "Mass", Amount, "Of ash, dry alkali or iron."),
                    when(
                        f(
                            "alkali",
                            "Alkali",
                            Choice(&[
                                "wood ash",
                                "potash",
                                "caustic potash",
                                "caustic soda",
                                "washing soda",
                                "slaked lime",
                            ]),
                            "",
                        ),
                        "kind",
                        &["lye jar"],
                    ),
                    when(
                        f("liquor", "Liquor in the jar", Amount, ""),
                        "kind",
                        &["lye jar"],
                    ),
                    when(
                        f(
                            "bubble_depth",
                            "Gas enters below the surface",
                            Amount,
                            "Left empty: 5 cm.",
                        ),
                        "kind",
                        &["lye jar"],
                    ),
                    when(
                        f(
                            "iron",
                            "Iron",
                            Choice(&["steel wool", "iron filings", "bog iron", "iron oxide"]),
                            "",
                        ),
                        "kind",
                        &["iron packing"],
                    ),
                    when(
                        f("bed", "Volume of the packing", Amount, ""),
                        "kind",
                        &["iron packing"],
                    ),
                    when(
                        f(
                            "regenerated",
                            "Brought back with air",
                            Number,
                            "Times, before it is renewed.",
                        ),
                        "kind",
                        &["iron packing"],
                    ),
                    f(
                        "renewed_every",
                        "Filled anew every",
                        Amount,
                        "Left empty: never.",
                    ),
                ],
                first: &[
                    ("kind", "\"iron packing\"", "\"iron packing\""),
                    ("iron", "\"steel wool\"", "\"steel wool\""),
                    ("mass", "\"500 g\"", "\"1 lb\""),
                    ("renewed_every", "\"60 days\"", "\"60 days\""),
                ],
            },
            Table {
                path: "gas",
                list: false,
                title: "Back-pressure and air",
                about: "Only where they are known otherwise: the back-pressure follows from wash \
                        jar and store.",
                optional: true,
                fields: &[
                    f("back_pressure", "Back-pressure", Amount, ""),
                    f(
                        "air_dose",
                        "Air let in",
                        Amount,
                        "Share of the gas made; 0 % without. More than a few percent is dangerous.",
                    ),
                ],
                first: &[("back_pressure", "\"8 cm wc\"", "\"3 in wc\"")],
            },
        ],
    },
    Part {
        id: "line",
        title: "Trap, line, relief",
        tables: &[
            Table {
                path: "trap",
                list: false,
                title: "Water trap",
                about: "",
                optional: true,
                fields: &[
                    f("volume", "Water it takes", Amount, ""),
                    f(
                        "stands",
                        "Stands",
                        Choice(&["outdoors", "indoors", "buried"]),
                        "",
                    ),
                    f("at_low_point", "At the lowest point of the line", Yes, ""),
                ],
                first: &[("volume", "\"500 mL\"", "\"1 pt\"")],
            },
            Table {
                path: "line",
                list: false,
                title: "Gas line",
                about: "",
                optional: true,
                fields: &[
                    f("bore", "Bore", Amount, "Inside diameter of hose or pipe."),
                    f("length", "Length", Amount, ""),
                    f("elbows", "Elbows", Number, ""),
                    f("valves", "Ball valves", Number, ""),
                    f("tees", "Tees", Number, "Where the flow turns."),
                    f(
                        "runs",
                        "Runs",
                        Choice(&["outdoors", "indoors", "buried"]),
                        "",
                    ),
                    f(
                        "low_point_drained",
                        "Its lowest point can be drained",
                        Yes,
                        "",
                    ),
                ],
                first: &[
                    ("bore", "\"13 mm\"", "\"1/2 in\""),
                    ("length", "\"10 m\"", "\"30 ft\""),
                ],
            },
            Table {
                path: "relief",
                list: false,
                title: "Relief",
                about: "A column of water that lets gas out before anything bursts. It has no \
                        valve and must not freeze.",
                optional: true,
                fields: &[
                    f("depth", "Depth of water", Amount, ""),
                    f(
                        "stands",
                        "Lets gas out",
                        Choice(&["outdoors", "indoors", "buried"]),
                        "",
                    ),
                ],
                first: &[
                    ("depth", "\"15 cm wc\"", "\"6 in wc\""),
                    ("stands", "\"outdoors\"", "\"outdoors\""),
                ],
            },
            Table {
                path: "flash_back",
                list: false,
                title: "Flash-back stop",
                about: "What keeps a flame from running back through the hose.",
                optional: true,
                fields: &[
                    f("kind", "Kind", Choice(&["water seal", "mesh"]), ""),
                    when(
                        f("depth", "Gas enters below the surface", Amount, ""),
                        "kind",
                        &["water seal"],
                    ),
                    when(
                        f("gap", "Clear gap of the mesh", Amount, ""),
                        "kind",
                        &["mesh"],
                    ),
                ],
                first: &[
                    ("kind", "\"water seal\"", "\"water seal\""),
                    ("depth", "\"5 cm\"", "\"2 in\""),
                ],
            },
        ],
    },
    Part {
        id: "store",
        title: "The store",
        tables: &[Table {
            path: "store",
            list: false,
            title: "Store",
            about: "Soft and at low pressure. This gas is never bottled.",
            optional: true,
            fields: &[
                f(
                    "kind",
                    "Kind",
                    Choice(&["soft tubes", "bag", "weighted bag", "floating drum"]),
                    "",
                ),
                when(
                    f("count", "How many tubes", Number, ""),
                    "kind",
                    &["soft tubes"],
                ),
                when(
                    f(
                        "ring",
                        "Ring across",
                        Amount,
                        "From the middle of the tube to the middle of the tube.",
                    ),
                    "kind",
                    &["soft tubes"],
                ),
                when(
                    f(
                        "girth",
                        "Once around",
                        Amount,
                        "Around the tube or bag when taut.",
                    ),
                    "kind",
                    &["soft tubes", "bag", "weighted bag"],
                ),
                when(
                    f("length", "Length", Amount, ""),
                    "kind",
                    &["bag", "weighted bag"],
                ),
                when(
                    f("diameter", "Diameter of the drum", Amount, ""),
                    "kind",
                    &["floating drum"],
                ),
                when(
                    f("travel", "Rises by", Amount, "From empty to full."),
                    "kind",
                    &["floating drum"],
                ),
                f(
                    "weight",
                    "Weight on it",
                    Amount,
                    "Planks, water jugs; or the drum itself.",
                ),
                f(
                    "material",
                    "Material",
                    Choice(&[
                        "",
                        "butyl",
                        "natural rubber",
                        "neoprene",
                        "epdm",
                        "pe film",
                        "hdpe",
                        "pvc",
                        "steel",
                    ]),
                    "Left empty: what is usual.",
                ),
                f("thickness", "Thickness of the skin", Amount, ""),
                when(
                    f("bath", "Water of the bath", Amount, ""),
                    "kind",
                    &["floating drum"],
                ),
                f(
                    "stands",
                    "Stands",
                    Choice(&["in the sun", "in the shade", "indoors"]),
                    "",
                ),
                when(
                    f(
                        "room.volume",
                        "Room",
                        Amount,
                        "Volume of the room it stands in.",
                    ),
                    "stands",
                    &["indoors"],
                ),
                when(
                    f("room.air_changes", "Air changes an hour", Number, ""),
                    "stands",
                    &["indoors"],
                ),
            ],
            first: &[
                ("kind", "\"soft tubes\"", "\"soft tubes\""),
                ("count", "2", "2"),
                ("ring", "\"90 cm\"", "\"35 in\""),
                ("girth", "\"75 cm\"", "\"30 in\""),
                ("weight", "\"60 kg\"", "\"130 lb\""),
            ],
        }],
    },
    Part {
        id: "uses",
        title: "What burns it",
        tables: &[Table {
            path: "use",
            list: true,
            title: "Use",
            about: "Most wanted first.",
            optional: true,
            fields: &[
                f(
                    "kind",
                    "What",
                    Choice(&[
                        "kettle",
                        "stove",
                        "lamp",
                        "water heater",
                        "heater",
                        "young stock heater",
                        "pasteurising pot",
                        "refrigerator",
                        "engine",
                    ]),
                    "",
                ),
                when(
                    f("per_day", "Kettles a day", Number, "Of 1.5 L, to the boil."),
                    "kind",
                    &["kettle"],
                ),
                when(
                    f("water", "Water a day", Amount, ""),
                    "kind",
                    &["water heater", "pasteurising pot"],
                ),
                f(
                    "times",
                    "When",
                    Text,
                    "Like 06:30 to 07:30, 18:00 to 20:00.",
                ),
                f(
                    "months",
                    "Months",
                    Text,
                    "Like May-Oct. Left empty: all year.",
                ),
                f(
                    "flow",
                    "Gas while it burns",
                    Amount,
                    "Left empty: what is usual.",
                ),
                f("flue", "A flue takes the fumes outside", Yes, ""),
                f(
                    "room.volume",
                    "Room it burns in",
                    Amount,
                    "Left empty: in the open, or not told.",
                ),
                f("room.air_changes", "Air changes an hour", Number, ""),
                f("room.greenhouse", "The room is a greenhouse", Yes, ""),
            ],
            first: &[("kind", "\"kettle\"", "\"kettle\""), ("per_day", "1", "1")],
        }],
    },
    Part {
        id: "place",
        title: "Place and weather",
        tables: &[
            Table {
                path: "plan",
                list: false,
                title: "Plan",
                about: "",
                optional: false,
                fields: &[
                    f("name", "Name", Text, ""),
                    f("about", "What it is", Long, ""),
                    f("units", "Units", Choice(&["metric", "us"]), ""),
                    f(
                        "bucket",
                        "A bucket holds",
                        Amount,
                        "Left empty: 10 L, or 5 gal.",
                    ),
                    f("start", "First filled on", Date, ""),
                    f(
                        "length",
                        "Looks ahead",
                        Amount,
                        "Like 1 year, 2 years, 90 days.",
                    ),
                    f(
                        "worlds",
                        "Worlds",
                        Number,
                        "More of them steady the ends of the bands. Left empty: 60.",
                    ),
                    f(
                        "seed",
                        "Number of the draw",
                        Number,
                        "The same number draws the same worlds.",
                    ),
                ],
                first: &[],
            },
            Table {
                path: "place",
                list: false,
                title: "Place",
                about: "",
                optional: false,
                fields: &[
                    f("name", "Name", Text, ""),
                    f("latitude", "Latitude", Text, "Like 56.5 °N."),
                    f("altitude", "Height above the sea", Amount, ""),
                    f("soil", "Ground", Choice(&["clay", "loam", "sand"]), ""),
                ],
                first: &[],
            },
            Table {
                path: "weather",
                list: false,
                title: "Weather",
                about: "Means of each month, January first, then the unit: from an almanac or a \
                        weather service. Or a file beside the plan with hourly records.",
                optional: false,
                fields: &[
                    f("high", "Mean of the days' highs", Long, ""),
                    f("low", "Mean of the nights' lows", Long, ""),
                    f("sun", "Sun on level ground", Long, "Like kWh/m2/day."),
                    f("wind", "Wind", Long, ""),
                    f("file", "Or a file", Text, "CSV or EPW, beside the plan."),
                ],
                first: &[],
            },
        ],
    },
];

/// A part by its name in addresses.
pub fn part(id: &str) -> Option<&'static Part> {
    PARTS.iter().find(|p| p.id == id)
}

/// The part, table and field a path of the plan belongs to; items of lists carry
/// their number: `waste[0].amount`.
pub fn find(path: &str) -> Option<(&'static Part, &'static Table, &'static Field)> {
    let plain: String = without_numbers(path);
    PARTS.iter().find_map(|part| {
        part.tables.iter().find_map(|table| {
            let key = plain.strip_prefix(table.path)?.strip_prefix('.')?;
            let field = table.fields.iter().find(|f| f.key == key)?;
            Some((part, table, field))
        })
    })
}

/// The table of a list: `waste`, `heap.part`.
pub fn table(path: &str) -> Option<(&'static Part, &'static Table)> {
    PARTS
        .iter()
        .find_map(|p| Some((p, p.tables.iter().find(|t| t.path == path)?)))
}

/// "waste[0].amount" as "waste.amount".
pub fn without_numbers(path: &str) -> String {
    let mut out = String::new();
    let mut inside = false;
    for c in path.chars() {
        match c {
            '[' => inside = true,
            ']' => inside = false,
            c if !inside => out.push(c),
            _ => {}
        }
    }
    out
}

/// A text with one number in it, for a slider.
#[derive(Debug, Clone, PartialEq)]
pub struct Slide {
    /// What stands before the number.
    pub before: String,
    /// The number.
    pub number: f64,
    /// What stands behind it.
    pub after: String,
    /// Ends and step of the slider.
    pub ends: (f64, f64, f64),
}

/// The slider for a text, if there is just one plain number in it.
pub fn slide(text: &str) -> Option<Slide> {
    let begin = text.find(|c: char| c.is_ascii_digit())?;
    let rest = &text[begin..];
    let end = rest
        .find(|c: char| !(c.is_ascii_digit() || c == '.'))
        .unwrap_or(rest.len());
    let (number, after) = rest.split_at(end);
    let unit = after.trim_start();
    // "1/2 lb", "1,650 ft", "16:00" and the digit of m3/day are no single number.
    let other = after.starts_with(['/', ',', ':'])
        || after
            .replace("m3", "")
            .replace("m2", "")
            .chars()
            .any(|c| c.is_ascii_digit())
        || text[..begin].ends_with('-');
    if other {
        return None;
    }
    let number: f64 = number.parse().ok()?;
    let (low, high) = if unit.starts_with('%') {
        (0.0, 100.0)
    } else if unit.starts_with('°') {
        (number - 20.0, number + 20.0)
    } else if number > 0.0 {
        (0.0, 3.0 * number)
    } else {
        return None;
    };
    // A step that people would say: a hundredth of the way, rounded to 1, 2 or 5.
    let raw = (high - low) / 100.0;
    let ten = 10f64.powf(raw.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|m| m * ten)
        .find(|s| *s >= raw * 0.999)
        .unwrap_or(raw);
    let step = if unit.starts_with('°') || unit.starts_with('%') {
        1.0
    } else {
        step
    };
    let low = if low == 0.0 && !unit.starts_with('%') {
        step
    } else {
        low
    };
    Some(Slide {
        before: text[..begin].to_owned(),
        number,
        after: after.to_owned(),
        ends: (low, high, step),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demos::DEMOS;

    fn leaves(value: &toml_edit::Item, here: &str, out: &mut Vec<String>) {
        if let Some(table) = value.as_table_like() {
            for (key, v) in table.iter() {
                let dot = if here.is_empty() { "" } else { "." };
                leaves(v, &format!("{here}{dot}{key}"), out);
            }
        } else if let Some(list) = value.as_array_of_tables() {
            for table in list {
                leaves(&toml_edit::Item::Table(table.clone()), here, out);
            }
        } else {
            out.push(here.to_owned());
        }
    }

    #[test]
    fn every_key_of_the_demos_has_a_field() {
        for demo in DEMOS {
            let text: toml_edit::DocumentMut = demo.text.parse().expect("a demo is TOML");
            let mut paths = Vec::new();
            leaves(text.as_item(), "", &mut paths);
            assert!(paths.len() > 10);
            for path in paths {
                assert!(find(&path).is_some(), "{}: no field for {path}", demo.name);
            }
        }
    }

    /// Each field is written into a table of its own, with a value that nobody
    /// would; the reader may find fault with the value but must know the key.
    #[test]
    fn the_reader_knows_every_field() {
        for part in PARTS {
            for table in part.tables {
                for field in table.fields {
                    let head = if table.list {
                        format!("[[{}]]", table.path)
                    } else {
                        format!("[{}]", table.path)
                    };
                    let kind = match field.only {
                        Some((key, says)) => format!("{key} = \"{}\"\n", says[0]),
                        None => String::new(),
                    };
                    let text = format!("{head}\n{kind}{} = \"?\"\n", field.key);
                    let errors = fenlamp_core::plan::read(&text, "x", &fenlamp_core::plan::NoFiles)
                        .expect_err("no plan");
                    let leaf = field.key.rsplit('.').next().expect("a key");
                    for e in &errors.errors {
                        let unknown = e.message.contains("unknown key")
                            && e.message.contains(&format!("\"{leaf}\""));
                        assert!(!unknown, "{}: {e}", table.path);
                    }
                }
            }
        }
    }

    #[test]
    fn a_slider_stands_where_one_number_does() {
        let s = slide("to 8 % solids").expect("one number");
        assert_eq!(
            (s.before.as_str(), s.number, s.after.as_str()),
            ("to ", 8.0, " % solids")
        );
        assert_eq!(slide("1000 L").map(|s| s.ends), Some((50.0, 3000.0, 50.0)));
        assert_eq!(slide("12 m3").map(|s| s.number), Some(12.0));
        for text in [
            "1/2 lb/day",
            "1,650 ft",
            "5 6 8 °C",
            "none",
            "-4 °C",
            "06:00 to 07:00",
            "0 L",
        ] {
            assert_eq!(slide(text), None, "{text}");
        }
    }

    #[test]
    fn paths_with_numbers_find_their_field() {
        let (part, table, field) = find("heap.part[1].share").expect("a field");
        assert_eq!(
            (part.id, table.path, field.key),
            ("warmth", "heap.part", "share")
        );
        assert!(find("use[0].room.volume").is_some());
        assert!(find("vessel.nonsense").is_none());
    }
}
