"""The documents that numbers and formulas come from, each registered once under the key that docstrings name."""

from dataclasses import dataclass
from typing import Literal

HowRead = Literal["read", "repo", "run", "memory"]


@dataclass(frozen=True)
class Source:
    """One document.

    `how_read` is honest about us: "read" the document or a copy of the table, "repo" its values in a public
    repository, "run" computed by independent libraries, "memory" none of these.
    """

    key: str
    title: str
    edition: str
    place: str
    how_read: HowRead


SOURCES: dict[str, Source] = {
    source.key: source
    for source in (
        Source("GUM", "Guide to the expression of uncertainty in measurement", "JCGM 100:2008", "BIPM", "repo"),
        Source("JCGM_101", "Propagation of distributions using a Monte Carlo method", "2008", "BIPM", "repo"),
        Source("JCGM_106", "The role of measurement uncertainty in conformity assessment", "2012", "BIPM", "memory"),
        Source("ISO_14253_1", "Decision rules for verifying conformity with specifications", "", "ISO", "memory"),
        Source("GOST_22483", "Conductors of cables, which adopts IEC 60228", "2021", "GOST, annex", "read"),
        Source("NIST_SP_811", "Guide for the use of the International System of Units", "2008", "NIST", "memory"),
        Source("ISO_6789", "Hand torque tools", "", "ISO, as reprinted", "read"),
        Source("AS_26_7", "Abramowitz and Stegun, Handbook of mathematical functions", "1964", "26.7", "memory"),
        Source("BIRNBAUM_1948", "Birnbaum, On random variables with comparable peakedness", "1948",
               "Annals of Mathematical Statistics 19", "memory"),
        Source("WILLINK_DOF", "Willink, A generalization of the Welch-Satterthwaite formula; title from memory", "2007",
               "Metrologia 44, 4.1.1, as coded in a public library", "repo"),
        Source("WILLINK_2007", "Willink, on the uncertainty of the mean of digitized measurements", "2007",
               "as coded in a public library", "repo"),
        Source("IEC_60034_1", "Rotating electrical machines: rating and performance", "",
               "IEC, as cited by a resistance meter's manual", "read"),
        Source("IEC_60751", "Industrial platinum resistance thermometers: curve and classes", "",
               "IEC, as reprinted", "read"),
        Source("IEC_60584", "Thermocouples: tolerances, type K", "", "IEC, as reprinted", "read"),
        Source("STEINHART_HART", "Steinhart and Hart, Calibration curves for thermistors; title from memory", "1968",
               "formula and a worked example, as reprinted", "read"),
        Source("LEAD_ACID_TABLE", "Rested voltage and charge of a lead-acid battery at 26.7 °C", "",
               "a copy of the table, its first printing unknown", "read"),
        Source("ACID_MANUALS", "Density of battery acid by temperature, for 20, 25 and 26.7 °C", "",
               "manuals of several makers of vehicles, generators and batteries", "read"),
        Source("TIPPETT_1925", "Tippett, On the extreme individuals and the range of samples; title from memory",
               "1925", "d2, as reprinted in a machine's manual", "read"),
        Source("EN_837_1", "Pressure gauges with Bourdon tubes", "", "EN, as reprinted", "read"),
        Source("ASTM_E1272", "Laboratory glass graduated cylinders", "", "a list of its limits", "read"),
        Source("DIN_862", "Vernier calipers", "", "DIN, as reprinted", "read"),
        Source("DIN_863_1", "Micrometers for external measurement", "", "DIN, as reprinted", "read"),
        Source("METER_MANUALS", "Manuals of low-cost multimeters: accuracy of resistance, test leads", "",
               "several makers", "read"),
        Source("INFRARED_MANUALS", "Manuals of infrared thermometers: accuracy, emissivity at 8 to 14 µm", "",
               "several makers", "read"),
        Source("API_MPMS_11_1", "Volume correction factors for oils (also ASTM D1250): lubricating oils", "2004",
               "the formula, on two secondary pages", "read"),
        Source("ASHRAE_GLYCOL", "ASHRAE Handbook of fundamentals: density of ethylene glycol and water by volume", "",
               "the table, as reprinted in a design manual", "read"),
        Source("KELL_1975", "Kell, Density, thermal expansivity and compressibility of liquid water; title from memory",
               "1975", "formula, as reprinted", "read"),
        Source("COOLPROP_AEG", "A public library of fluid properties: ethylene glycol and water by volume", "8.0",
               "its function for the freezing point", "run"),
        Source("ASTM_D2270", "Viscosity index from kinematic viscosity at 40 and 100 °C", "",
               "table in a public library, examples as reprinted", "repo"),
        Source("ENGINE_MANUAL_GLYCOL", "An engine maker's manual: density of ethylene glycol at 20 °C, coolants", "",
               "table, on a page of the manual", "read"),
        Source("ASTM_D341", "Viscosity-temperature equations and charts for liquid petroleum products", "",
               "formula and a worked example, as reprinted", "read"),
        Source("ISO_3448", "Industrial liquid lubricants: viscosity classification", "", "ISO, as reprinted", "read"),
        Source("JEFFREYS_1930", "Jeffreys, The draining of a vertical plate", "1930",
               "abstract read, its formula from memory", "memory"),
        Source("BURN_TIMES", "Contact times with hot bare metal: an older list, and what is printed of ISO 13732-1", "",
               "secondary pages", "read"),
        Source("PAN_DROP_PAGES", "General how-to pages: what a pan drop renews; no data behind it", "",
               "several pages, 30 to 50 %, elsewhere 40 to 60 %", "read"),
        Source("WEIBULL_CONDITIONAL", "A reliability handbook on the web: Weibull's conditional reliability", "",
               "R(T + t) / R(T), on its page", "read"),
        Source("GAMMA_POISSON", "A textbook of Bayesian statistics: the gamma-Poisson pair, its section 5.12", "",
               "notes of its readers", "read"),
        Source("LOMAX", "An encyclopedia: Lomax's law, exponential waits whose rate is a gamma", "",
               "its page", "read"),
        Source("HANLEY_1983", "Hanley and Lippman-Hand, If nothing goes wrong, is everything all right?", "1983",
               "JAMA 249, as cited in a letter to JAMA of 1995", "read"),
        Source("INDG280", "Airbags and seat belt pretensioners in vehicles, a leaflet; title from memory", "",
               "HSE, INDG280", "read"),
        Source("HSE_ELECTRIC", "Electric and hybrid vehicles", "", "HSE, as reprinted", "read"),
        Source("HSE_FIRE", "Motor vehicle repair: fire and explosion", "", "HSE, its page", "read"),
        Source("EU_FGAS", "Regulation on fluorinated greenhouse gases", "EU 2024/573", "and 2025/1893", "read"),
        Source("DVSA_DEFECTS", "Dangerous defects found at vehicle tests", "Q2 2019/20", "DVSA", "read"),
        Source("DTC_STRUCTURE", "ISO 15031-6 and SAE J2012: how trouble codes are built", "",
               "groupings, on pages that reprint them", "read"),
        Source("DTC_P3_SPLIT", "A code reader's manual: whose the P3 codes are", "", "its page on codes", "read"),
        Source("PERMANENT_CODES", "Makers' manuals: pending, confirmed and permanent codes", "",
               "several makers", "read"),
        Source("ACCC_JACKS", "Working under a vehicle at home: deaths under cars that a jack held", "",
               "ACCC, its page for consumers", "read"),
        Source("HSE_UNDER_VEHICLES", "Working under vehicles; Motor vehicle repair: introduction; INDG434", "",
               "HSE, pages and a leaflet", "read"),
        Source("HSE_AIR_SUSPENSION", "Safety alert: working under vehicles with air suspension", "20 May 2020",
               "HSE, its page", "read"),
        Source("HSE_ELECTRIC", "Electric and hybrid vehicles", "", "HSE, as reprinted", "read"),
        Source("HSE_MOTOR_FIRES", "Motor vehicle repair: fire and explosion", "", "HSE, its page", "read"),
        Source("HSENI_INJECTION", "Safety alert: injuries by fluid under high pressure", "30 September 2014",
               "HSENI, its page", "read"),
        Source("HSE_BATTERIES", "Using electric storage batteries safely", "INDG139", "HSE, a leaflet", "read"),
        Source("EPA_BRAKE_DUST", "Preventing asbestos exposure among brake and clutch repair workers",
               "2007", "EPA, a brochure; its title from memory", "read"),
        Source("EPA_USED_OIL", "Collecting used oil for recycling and reuse; title from memory", "EPA 530-F-94-008",
               "EPA, a leaflet", "read"),
        Source("EPA_COOLANT", "A sheet on waste of vehicle maintenance: antifreeze", "", "EPA, a sheet", "read"),
        Source("NHTSA_BATTERIES", "Injuries associated with hazards of motor vehicle batteries; title from memory",
               "1997", "NHTSA, a research note", "read"),
        Source("NHTSA_CAPS", "Radiator and coolant reservoir caps, a notice of termination", "66 FR 29747",
               "Federal Register", "read"),
        Source("CO_GARAGE", "Carbon monoxide: garages", "", "Iowa State University extension, its page", "read"),
        Source("WORKSAFE_MACHINES", "Moving parts of machines: sleeves, hair and hands", "",
               "WorkSafeBC, its pages", "read"),
        Source("OSHA_LOCKOUT", "Control of hazardous energy: machines that start by themselves", "29 CFR 1910.147",
               "articles on it", "read"),
        Source("DVSA_TORQUE", "Careless torque costs lives", "", "DVSA, a summary, of lorries' wheels", "read"),
        Source("NIST_STRD", "Statistical reference datasets: nonlinear regression, Misra1a and BoxBOD", "",
               "NIST, certified values", "read"),
        Source("GOOD_1985", "Good, Weight of evidence: a brief survey; title from memory", "1985",
               "Bayesian Statistics 2", "memory"),
        Source("ICD_203", "Analytic standards: a table of verbal probabilities", "",
               "a directive, as reprinted", "read"),
        Source("IPCC_UNCERTAINTY", "Guidance note on the consistent treatment of uncertainties", "",
               "IPCC, its likelihood scale, as reprinted", "read"),
        Source("HECKERMAN_1995", "Heckerman, Breese and Rommelse, Decision-theoretic troubleshooting", "1995",
               "Communications of the ACM 38, abstract", "read"),
        Source("OTTOSEN_JENSEN", "Ottosen and Jensen, The cost of troubleshooting cost clusters … inside information",
               "2010", "arXiv 1203.3502, abstract", "read"),
        Source("EISNER_SEVERANCE", "Eisner and Severance, Mathematical techniques for efficient record segmentation",
               "1976", "Journal of the ACM 23", "memory"),
    )
}  # fmt: skip
