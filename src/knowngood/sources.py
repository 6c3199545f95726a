"""The documents that numbers and formulas come from, each registered once under the key that docstrings name."""

from dataclasses import dataclass
from typing import Literal

HowRead = Literal["read", "repo", "run", "memory"]


@dataclass(frozen=True)
class Source:
    """One document, named so that a reader can look it up.

    `how_read` is honest about us: "read" the document or a copy of the table, "repo" its values in a public
    repository, "run" computed by independent libraries, "memory" none of these.

    Args:
        key: What docstrings and tables name.
        title: With its author, where it has one; "title from memory" where it was not seen.
        edition: Year, edition or number; or "no edition" and why.
        place: Who publishes it, where in it, and how it was seen.
        how_read: How well we know it.
    """

    key: str
    title: str
    edition: str
    place: str
    how_read: HowRead


PAGE = "no edition: a web page without a date"
REPRINT = "no edition: the reprint that was read does not say which"

DOCUMENTS = (
    # Measurement and its uncertainty.
    Source("GUM", "Guide to the expression of uncertainty in measurement", "JCGM 100:2008", "BIPM", "repo"),
    Source("JCGM_101", "Supplement 1 to the GUM: propagation of distributions using a Monte Carlo method",
           "JCGM 101:2008", "BIPM", "repo"),
    Source("JCGM_106", "The role of measurement uncertainty in conformity assessment", "JCGM 106:2012", "BIPM",
           "memory"),
    Source("ISO_14253_1", "Geometrical product specifications, inspection by measurement, part 1: decision rules for "
           "verifying conformity or nonconformity with specifications", "ISO 14253-1:2017", "ISO", "memory"),
    Source("NIST_SP_811", "Thompson and Taylor, Guide for the use of the International System of Units", "2008",
           "NIST special publication 811, appendix B", "memory"),
    Source("AS_26_7", "Abramowitz and Stegun, Handbook of mathematical functions", "1964", "26.7, Student's t",
           "memory"),
    Source("BIRNBAUM_1948", "Birnbaum, On random variables with comparable peakedness", "1948",
           "Annals of Mathematical Statistics 19, 76-81", "memory"),
    Source("WILLINK_DOF", "Willink, A generalization of the Welch-Satterthwaite formula for use with correlated "
           "uncertainty components; title from memory", "2007",
           "Metrologia 44, 340-349, 4.1.1, as coded in the GTC library 1.5", "repo"),
    Source("WILLINK_2007", "Willink, On the uncertainty of the mean of digitized measurements; title from memory",
           "2007",
           "Metrologia 44, 73-81, as coded in the GTC library 1.5", "repo"),
    Source("RICHTMYER", "Richtmyer, The evaluation of definite integrals, and a quasi-Monte Carlo method based on the "
           "properties of algebraic numbers; title from memory", "1951",
           "Los Alamos report LA-1342", "memory"),
    Source("TIPPETT_1925", "Tippett, On the extreme individuals and the range of samples taken from a normal "
           "population; title from memory", "1925",
           "Biometrika 17, 364-387; d2 as tables of factors for control charts print it", "read"),
    # Instruments.
    Source("ISO_6789", "Assembly tools for screws and nuts: hand torque tools, part 1", "ISO 6789-1:2017",
           "ISO, as reprinted; edition from memory, the limits are those of 2003", "read"),
    Source("EN_837_1", "Pressure gauges, part 1: Bourdon tube pressure gauges", "EN 837-1:1996", "CEN, as reprinted",
           "read"),
    Source("ASTM_E1272", "Standard specification for laboratory glass graduated cylinders", "E1272-02",
           "ASTM, a list of its limits", "read"),
    Source("DIN_862", "Geometrical product specifications: callipers", "DIN 862:2015",
           "DIN, as reprinted; edition from memory", "read"),
    Source("DIN_863_1", "Geometrical product specifications: micrometers, part 1: for external measurement",
           "DIN 863-1:2017", "DIN, as reprinted; edition from memory", "read"),
    Source("IEC_60584", "Thermocouples, part 1: EMF specifications and tolerances", "IEC 60584-1:2013",
           "IEC, type K, as reprinted; edition from memory", "read"),
    Source("IEC_60751", "Industrial platinum resistance thermometers and platinum temperature sensors",
           "IEC 60751:2022", "IEC, curve and classes, as reprinted; edition from memory", "read"),
    Source("STEINHART_HART", "Steinhart and Hart, Calibration curves for thermistors; title from memory", "1968",
           "Deep-Sea Research 15, 497-503; formula as reprinted", "read"),
    Source("MCADAMS_1954",
           "McAdams, Heat transmission, with Hottel's table of normal total emissivities; book from memory",
           "3rd edition, 1954", "appendix; values as reprinted", "read"),
    # Electricity.
    Source("GOST_22483", "Conductors of cables, wires and cords, which adopts IEC 60228:2004", "GOST 22483-2021",
           "annex B", "read"),
    Source("IEC_60034_1", "Rotating electrical machines, part 1: rating and performance", "IEC 60034-1:2022",
           "IEC, temperature by resistance, as cited; edition from memory", "read"),
    Source("LEAD_ACID_TABLE", "Voltage, acid density and charge of a rested lead-acid battery of 12 V at 26.7 °C",
           "no edition: copied on many pages, its first printing was not found",
           "common practice, no source; the copies that were read agree", "read"),
    Source("TM_BATTERIES", "US Department of the Army, technical manuals: a hydrometer's temperature correction",
           "TM 5-4210-230-14&P-1; TM 9-6140-200-14",
           "the pages on temperature correction and on the bulb-type tester", "read"),
    # Fluids.
    Source("API_MPMS_11_1", "Manual of petroleum measurement standards, chapter 11.1: temperature and pressure volume "
           "correction factors for generalized crude oils, refined products and lubricating oils", "2004",
           "API (also ASTM D1250); the formula for lubricating oils, on two secondary pages", "read"),
    Source("ASHRAE_GLYCOL", "ASHRAE handbook of fundamentals: density of ethylene glycol and water by volume", REPRINT,
           "ASHRAE, the table", "read"),
    Source("KELL_1975", "Kell, Density, thermal expansivity and compressibility of liquid water from 0 to 150 °C; "
           "title from memory", "1975", "Journal of Chemical and Engineering Data 20, 97-105; formula as reprinted",
           "read"),
    Source("COOLPROP_AEG", "Bell, Wronski, Quoilin and Lemort, Pure and pseudo-pure fluid thermophysical property "
           "evaluation and the open-source library CoolProp; title from memory", "2014; version 8.0.0 was run",
           "Industrial & Engineering Chemistry Research 53, 2498-2508; its mixture AEG, by volume", "run"),
    Source("PERRY_2008", "Green and Perry, Perry's chemical engineers' handbook", "8th edition, 2008",
           "densities of liquids, as coded in the chemicals library 1.5.2", "repo"),
    Source("ASTM_D341", "Standard practice for viscosity-temperature equations and charts for liquid petroleum or "
           "hydrocarbon products", "D341-20", "ASTM, formula and a worked example, as reprinted; edition from memory",
           "read"),
    Source("JEFFREYS_1930", "Jeffreys, The draining of a vertical plate", "1930",
           "Mathematical Proceedings of the Cambridge Philosophical Society 26; abstract read, formula from memory",
           "memory"),
    Source("MORITZ_1947", "Moritz and Henriques, Studies of thermal injury II: the relative importance of time and "
           "surface temperature in the causation of cutaneous burns; title from memory", "1947",
           "American Journal of Pathology 23, 695-720; times for hot tap water as children's hospitals list them",
           "read"),
    Source("ISO_13732_1", "Ergonomics of the thermal environment, responses to contact with surfaces, part 1: hot "
           "surfaces; title from memory", "ISO 13732-1:2006", "ISO, secondary pages", "read"),
    # Chance, wear and faults.
    Source("NELSON_1982", "Nelson, Applied life data analysis", "1982",
           "Weibull's conditional reliability, pages 69-70, as reworked on a page of calculations", "read"),
    Source("BAYES_RULES", "Johnson, Ott and Dogucu, Bayes rules! An introduction to applied Bayesian modeling", "2022",
           "the gamma-Poisson pair, section 5.2, place from memory; its example read in a reading group's notes",
           "read"),
    Source("LOMAX_1954", "Lomax, Business failures: another example of the analysis of failure data", "1954",
           "Journal of the American Statistical Association 49, 847-852; the law as a gamma mixture is from memory",
           "memory"),
    Source("HANLEY_1983", "Hanley and Lippman-Hand, If nothing goes wrong, is everything all right?", "1983",
           "JAMA 249, 1743-1745, as cited in a letter, JAMA 274, 1013 (4 October 1995)", "read"),
    Source("GOOD_1985", "Good, Weight of evidence: a brief survey; title from memory", "1985",
           "Bayesian Statistics 2, 249-270", "memory"),
    Source("ICD_203", "Intelligence community directive 203, Analytic standards: a table of verbal probabilities",
           "2 January 2015", "Office of the Director of National Intelligence, as reprinted", "read"),
    Source("IPCC_UNCERTAINTY", "Mastrandrea and others, Guidance note for lead authors on consistent treatment of "
           "uncertainties", "2010", "IPCC, its likelihood scale, as reprinted", "read"),
    Source("HECKERMAN_1995", "Heckerman, Breese and Rommelse, Decision-theoretic troubleshooting", "1995",
           "Communications of the ACM 38, issue 3, 49-57, abstract", "read"),
    Source("OTTOSEN_JENSEN", "Ottosen and Jensen, The cost of troubleshooting cost clusters with inside information",
           "2010", "Uncertainty in artificial intelligence 26, arXiv 1203.3502, abstract", "read"),
    Source("EISNER_SEVERANCE",
           "Eisner and Severance, Mathematical techniques for efficient record segmentation in large "
           "shared databases", "1976", "Journal of the ACM 23, 619-635", "memory"),
    Source("DTC_STRUCTURE",
           "How trouble codes are built: ISO 15031-6 and SAE J2012, Diagnostic trouble code definitions",
           "ISO 15031-6:2015; SAE J2012 of December 2007", "groupings, as reprinted; the split of P3 from memory",
           "read"),
    Source("ISO_15031_5", "Road vehicles, communication between vehicle and external equipment for emissions-related "
           "diagnostics, part 5: emissions-related diagnostic services (also SAE J1979)", "ISO 15031-5:2015",
           "pending, confirmed and permanent codes, as cited; title and edition from memory", "read"),
    # What hurts people.
    Source("INDG280", "Airbags and seat belt pretensioners in vehicles, a leaflet; title from memory", "INDG280", "HSE",
           "read"),
    Source("HSE_ELECTRIC", "Electric and hybrid vehicles", PAGE, "HSE, as reprinted", "read"),
    Source("HSE_FIRE", "Motor vehicle repair: fire and explosion", PAGE, "HSE", "read"),
    Source("HSE_UNDER_VEHICLES", "Working under vehicles; Motor vehicle repair: introduction; a leaflet",
           "INDG434; the two web pages have no date", "HSE", "read"),
    Source("HSE_AIR_SUSPENSION", "Safety alert: working under vehicles with air suspension", "20 May 2020", "HSE",
           "read"),
    Source("HSENI_INJECTION", "Safety alert: injuries by fluid under high pressure", "30 September 2014", "HSENI",
           "read"),
    Source("HSE_BATTERIES", "Using electric storage batteries safely", "INDG139", "HSE, a leaflet", "read"),
    Source("EU_FGAS", "Regulation on fluorinated greenhouse gases", "EU 2024/573; EU 2025/1893",
           "European Parliament and Council; the Commission", "read"),
    Source("DVSA_DEFECTS", "Dangerous defects found at vehicle tests", "July to September 2019", "DVSA", "read"),
    Source("DVSA_TORQUE", "Careless torque costs lives", PAGE, "DVSA, a summary, of lorries' wheels", "read"),
    Source("ACCC_JACKS", "Working under a vehicle at home: deaths under cars that a jack held", PAGE,
           "ACCC, for consumers", "read"),
    Source("EPA_BRAKE_DUST", "Preventing asbestos exposure among brake and clutch repair workers; title from memory",
           "2007", "EPA, a brochure", "read"),
    Source("EPA_USED_OIL", "Collecting used oil for recycling and reuse; title from memory", "EPA 530-F-94-008",
           "EPA, a leaflet", "read"),
    Source("EPA_COOLANT", "Waste of vehicle maintenance: antifreeze", "no edition: a sheet without a date", "EPA",
           "read"),
    Source("NHTSA_BATTERIES", "Injuries associated with hazards of motor vehicle batteries; title from memory",
           "1997", "NHTSA, a research note", "read"),
    Source("NHTSA_CAPS", "Radiator and coolant reservoir caps, a notice of termination", "66 FR 29747",
           "Federal Register", "read"),
    Source("CO_GARAGE", "Carbon monoxide: garages", PAGE, "Iowa State University extension", "read"),
    Source("WORKSAFE_MACHINES", "Moving parts of machines: sleeves, hair and hands", PAGE, "WorkSafeBC", "read"),
    Source("OSHA_LOCKOUT", "Control of hazardous energy: machines that start by themselves", "29 CFR 1910.147",
           "OSHA, as articles on it say", "read"),
)  # fmt: skip

SOURCES: dict[str, Source] = {source.key: source for source in DOCUMENTS}
