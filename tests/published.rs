//! The expanded letters held against dated letters that others have published.
//!
//! The lists below were transcribed from the sources named, apart from the tables. A source that
//! the tables themselves cite for the letter proves only that it was copied rightly, so those
//! letters stand in a list of their own and are counted apart; so do the dealers, hobbyists and
//! forums. What is left is the share of the letters that an outside source pins.
//!
//! Here too: the days of the statutes, seen through readings; the civil days of the letters; and
//! the styled letters, by their names in the Unicode standard.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::{Date, date};
use puncheon::schema::export;
use puncheon::schema::image::Meta;
use puncheon::{Options, Tables};

/// Office, year the letter came into use, letter, lettering, case, source, and the source's word
/// in the tables' bibliography. What the source does not say, or says loosely (a capital typed for
/// a small letter), is empty.
type Pin =
    (&'static str, i32, &'static str, &'static str, &'static str, &'static str, &'static str);

/// Museums, auction houses, societies, handbooks, surveys, the offices and the trade's press; not
/// cited by the tables for that letter.
#[rustfmt::skip]
const INDEPENDENT: &[Pin] = &[
    ("birmingham", 1802, "e", "", "lower", "Historic Deerfield, candlestick HD P.380.2", ""),
    ("birmingham", 1827, "D", "", "upper", "Roseberys, auctioneers, article on British hallmarks", ""),
    ("birmingham", 2018, "t", "", "lower", "Goldsmiths' Company Assay Office, London, notice of 2017", "london-office"),
    ("dublin", 2011, "A", "", "upper", "Dublin Assay Office, explanation of its hallmarks", "dublin-office"),
    ("edinburgh", 1700, "u", "", "", "Museum of Fine Arts, Boston, 1987.57, sugar caster, citing C. J. Jackson p. 545", ""),
    ("exeter", 1773, "A", "roman", "upper", "House of Commons committee of 1773, in A. Hayden, Chats on Old Silver", "hayden-old-silver"),
    ("exeter", 1797, "A", "", "upper", "R. Stagg, The Finial 13/04 (2003) p. 6, spoons seen", "stagg-duty"),
    ("glasgow", 1824, "F", "roman", "upper", "A. Hayden, Chats on Old Silver, pp. 403-405, marks of R G & S", "hayden-old-silver"),
    ("london", 1576, "t", "black-letter", "lower", "A. I. Dasent, sacramental plate of Berkshire, Aldermaston chalice; small, typed as a capital", ""),
    ("london", 1690, "N", "", "", "Museum of Fine Arts, Boston, 38.1643, trefid spoon", ""),
    ("london", 1702, "g", "court-hand", "", "W. A. Scott Robertson, Archaeologia Cantiana 17 (1887) p. 241, Acrise paten", "scott-robertson-1887"),
    ("london", 1708, "n", "court-hand", "", "E. C. Hopper, Church Plate in Norfolk, p. 30, Easton", "hopper-norfolk"),
    ("london", 1724, "I", "", "", "Colonial Williamsburg, 1982-121,2, sauceboat", ""),
    ("london", 1732, "R", "", "", "Victoria and Albert Museum, O271838, spoon", ""),
    ("london", 1737, "b", "", "", "Royal Armouries, 15009, hanger", ""),
    ("london", 1744, "i", "", "", "Royal Armouries, 14930, silver sword hilt", ""),
    ("london", 1751, "q", "roman", "lower", "Bruton Parish Church (1907), communion paten", ""),
    ("london", 1772, "R", "black-letter", "upper", "Smithsonian, National Museum of American History, DL.60.0329", ""),
    ("london", 1789, "O", "", "", "Colonial Williamsburg, 1998-92, caddy spoon", ""),
    ("london", 1792, "r", "roman", "lower", "Museum of Early Southern Decorative Arts, 5794.1-4, salt spoons", ""),
    ("london", 1797, "B", "", "upper", "A. Dove, The Finial 14/04 (2004) p. 4", "dove-cusped"),
    ("london", 1798, "C", "", "upper", "A. Dove, The Finial 14/04 (2004) p. 4", "dove-cusped"),
    ("london", 1799, "D", "", "upper", "auction catalogue, lot 654, sugar tongs", ""),
    ("london", 1800, "E", "", "upper", "New-York Historical Society, strainer spoon INV.14155", ""),
    ("london", 1801, "F", "", "upper", "D. McKinley, London Hallmarking on 19th Century Flatware, ASCAS", ""),
    ("london", 1808, "N", "", "upper", "United States Department of State, Diplomatic Reception Rooms, consular seal", ""),
    ("london", 1810, "P", "", "", "Telfair Museums, 2012.15.118, caster", ""),
    ("london", 1818, "c", "", "", "D. McKinley, London Hallmarking on 19th Century Flatware, ASCAS", ""),
    ("london", 1821, "f", "roman", "lower", "A. Dove, The Finial 13/04 (2003) p. 12", "dove-uncrowned"),
    ("london", 1822, "g", "roman", "lower", "A. Dove, The Finial 13/04 (2003) p. 12", "dove-uncrowned"),
    ("london", 1831, "q", "", "", "Victoria and Albert Museum, 812-1890, tea caddy", ""),
    ("london", 1894, "T", "", "upper", "E. C. Hopper, Church Plate in Norfolk, p. 30, Easton cruets", "hopper-norfolk"),
    ("london", 1898, "C", "", "", "The Box, Plymouth, 1983.18, two-handled cup", ""),
    ("london", 2016, "r", "", "lower", "Goldsmiths' Company Assay Office, London, notice of 2017", "london-office"),
    ("london", 2017, "s", "", "lower", "Goldsmiths' Company Assay Office, London, notice of 2017", "london-office"),
    ("london", 2018, "t", "", "lower", "Goldsmiths' Company Assay Office, London, notice of 2017", "london-office"),
    ("norwich", 1567, "C", "", "upper", "E. C. Hopper, Church Plate in Norfolk, pp. 23 and 30", "hopper-norfolk"),
    ("sheffield", 1773, "E", "black-letter", "upper", "W. Chaffers, Hall Marks on Gold and Silver Plate, p. 315", "chaffers-1922"),
    ("sheffield", 1824, "a", "roman", "lower", "W. Chaffers, Hall Marks on Gold and Silver Plate, p. 315", "chaffers-1922"),
    ("sheffield", 2016, "r", "", "lower", "Goldsmiths' Company Assay Office, London, notice of 2017", "london-office"),
    ("sheffield", 2017, "s", "", "lower", "Goldsmiths' Company Assay Office, London, notice of 2017", "london-office"),
    ("sheffield", 2018, "t", "", "lower", "Goldsmiths' Company Assay Office, London, notice of 2017", "london-office"),
];

/// Dealers, hobbyists, owners and forums; not cited by the tables for that letter.
#[rustfmt::skip]
const WEAK: &[Pin] = &[
    ("birmingham", 1773, "A", "", "upper", "a dealer's record, first-year sauce ladle by Boulton and Fothergill, KJ/6179", ""),
    ("birmingham", 1799, "b", "", "lower", "Rariora, dealer, patch box by Samuel Pemberton", ""),
    ("birmingham", 1807, "j", "", "lower", "The Purply Shop, dealer, caddy spoon by Joseph Taylor", ""),
    ("birmingham", 1836, "N", "black-letter", "upper", "Silbersuite, dealer, article on English silver marks", ""),
    ("birmingham", 1883, "i", "", "lower", "a collectors' forum, brooch by Joseph Cook", ""),
    ("birmingham", 1899, "z", "", "", "The Koven Court, dealer, gold watch chain", ""),
    ("birmingham", 1914, "p", "", "", "K. Lieblich, pipe with a silver band", ""),
    ("birmingham", 1928, "D", "", "upper", "A. Guy Kaplan, dealer, gold, record J7397", ""),
    ("birmingham", 1934, "K", "", "upper", "a dealer writing in Japanese, silver fob, record 18636", ""),
    ("birmingham", 1939, "P", "", "", "an owner's weblog", ""),
    ("birmingham", 1941, "R", "", "upper", "International Military Antiques, dealer's record", ""),
    ("dublin", 1788, "Q", "", "", "Irish Antique Dealers Association, Collecting Irish Silver", "iada-collecting"),
    ("dublin", 1805, "I", "", "upper", "Leopard Antiques, dealer, stock description", "leopard-spoon"),
    ("dublin", 1812, "Q", "", "", "Irish Antique Dealers Association, Collecting Irish Silver", "iada-collecting"),
    ("dublin", 1856, "l", "", "lower", "J. W. Weldon, Dublin, dealer, piece by John Smyth", "weldons"),
    ("edinburgh", 1681, "a", "", "lower", "Every Woman's Encyclopaedia, vol. 3, Edinburgh plate", "canongate-encyclopaedia"),
    ("edinburgh", 1682, "b", "", "lower", "Every Woman's Encyclopaedia, vol. 3, Edinburgh plate", "canongate-encyclopaedia"),
    ("edinburgh", 1979, "E", "", "upper", "an owner's article on cuff-links by Ola Gorie", ""),
    ("edinburgh", 2014, "p", "", "lower", "Alexander Kirkwood & Son, makers, their hallmarking page", ""),
    ("edinburgh", 2018, "t", "", "lower", "a collectors' forum, notice of 21 December 2017", "forum-letter-2018"),
    ("london", 1669, "M", "black-letter", "upper", "Leopard Antiques, dealer, porringer by Ralph Leeke", ""),
    ("london", 1701, "f", "", "", "a collectors' forum", ""),
    ("london", 1766, "L", "black-letter", "upper", "a collectors' forum, spoon marked IM", ""),
    ("london", 1780, "e", "", "lower", "Anne Young, family history of a teapot", ""),
    ("london", 1812, "R", "", "upper", "a collectors' forum, tankard", ""),
    ("london", 1814, "T", "", "upper", "Association of Small Collectors of Antique Silver, newsletter 124, a member's letter", ""),
    ("london", 1823, "h", "", "lower", "Steppes Hill Farm Antiques, dealer, list 96, pencil by Sampson Mordan", ""),
    ("london", 1828, "n", "", "lower", "Esme Parish Silver, dealer, teapot by Paul Storr", ""),
    ("london", 1860, "e", "", "lower", "D. Boettcher, article on British hallmarks, watch case", ""),
    ("london", 1862, "g", "", "lower", "an owner's post, 144844", ""),
    ("london", 1870, "p", "", "lower", "AC Silver, dealer, P18705, sugar basket", ""),
    ("london", 1892, "R", "", "upper", "a collectors' forum, tankard", ""),
    ("london", 1900, "e", "", "lower", "Anne Young, family history of a teapot", ""),
    ("london", 1923, "h", "", "lower", "an owner's description, inkwell for the British Empire Exhibition", ""),
    ("london", 1928, "n", "", "lower", "C. Janssen, 2019, article on the stamps of 2001", ""),
    ("london", 2019, "u", "", "", "Margaret Griffith, silversmith, her hallmark explained", "griffith-silversmith"),
    ("newcastle", 1786, "U", "", "", "a collectors' forum", ""),
    ("newcastle", 1810, "U", "", "upper", "a collectors' forum", ""),
    ("sheffield", 1887, "U", "", "upper", "a collector of fruit knives, knife by J. Y. Cowlishaw", "fruit-knife-collector"),
    ("sheffield", 1898, "f", "", "lower", "a collector of fruit knives, knife by Atkin Brothers, said to be of 1899", "fruit-knife-collector"),
    ("sheffield", 1905, "n", "", "lower", "a general encyclopaedia, caption of a picture", "sheffield-encyclopaedia"),
    ("sheffield", 2019, "u", "", "", "Margaret Griffith, silversmith, her hallmark explained", "griffith-silversmith"),
];

/// Letters stated by a source that the tables rest on: proof of the copying, not of the letter.
#[rustfmt::skip]
const SAME_SOURCE: &[Pin] = &[
    ("birmingham", 1774, "B", "", "upper", "Birmingham Assay Office collection, fork of 1774", "boulton-fork"),
    ("birmingham", 1882, "h", "black-letter", "lower", "R. Massart, Members' Window 56, ASCAS", "massart-window-56"),
    ("birmingham", 1897, "x", "", "", "a collector of masonic jewels", "masonic-jewels"),
    ("birmingham", 1902, "c", "", "", "a collector of masonic jewels", "masonic-jewels"),
    ("birmingham", 1905, "f", "", "lower", "S. Laug, pipe with a silver band", "pipe-restorers"),
    ("birmingham", 1911, "m", "", "lower", "S. Laug, pipe with a silver band", "pipe-restorers"),
    ("birmingham", 1931, "G", "roman", "upper", "a collector of Legion badges", "legion-badges"),
    ("birmingham", 1933, "J", "roman", "upper", "a collector of Legion badges", "legion-badges"),
    ("birmingham", 1934, "K", "", "upper", "a collector's notes on watch cases, 2016", "watch-case-notes"),
    ("birmingham", 1950, "A", "", "upper", "a dealer's record, watch chain", "dealers-birmingham-1950"),
    ("birmingham", 1957, "H", "", "upper", "a dealer's record, cross pendant", "dealers-birmingham-1950"),
    ("birmingham", 1972, "X", "", "upper", "a collector of Legion badges", "legion-badges"),
    ("birmingham", 1973, "Y", "", "", "Burnell & Rowe, dealer, record as1006a1537", "dealers-birmingham-1950"),
    ("birmingham", 1994, "U", "", "upper", "Antiques Trade Gazette, 2019", "atg-2019"),
    ("birmingham", 2008, "j", "", "lower", "Birmingham Assay Office", "birmingham-office"),
    ("birmingham", 2010, "l", "", "lower", "Birmingham Assay Office", "birmingham-office"),
    ("birmingham", 2019, "u", "", "lower", "Antiques Trade Gazette, 2019", "atg-2019"),
    ("birmingham", 2024, "z", "", "lower", "Birmingham Assay Office", "birmingham-office"),
    ("birmingham", 2025, "A", "roman", "upper", "Birmingham Assay Office", "birmingham-office"),
    ("chester", 1701, "A", "", "upper", "a collectors' forum, explanation of Chester letters", "chester-letters-forum"),
    ("chester", 1734, "J", "", "upper", "a collectors' forum, explanation of Chester letters", "chester-letters-forum"),
    ("chester", 1738, "N", "script", "upper", "a collectors' forum, explanation of Chester letters", "chester-letters-forum"),
    ("chester", 1785, "k", "", "lower", "S. C. Davidson, The Finial 14/04 p. 8, after the Chester plate duty books", "davidson-chester"),
    ("chester", 1818, "A", "", "upper", "C. J. Jackson, cycle VII, as quoted by John Matthews", "jackson-chester-7"),
    ("chester", 1823, "E", "", "upper", "F. Bradbury, as quoted by John Matthews", "jackson-chester-7"),
    ("chester", 1825, "G", "", "upper", "C. J. Jackson, cycle VII, as quoted by John Matthews", "jackson-chester-7"),
    ("chester", 1847, "J", "", "upper", "a collectors' forum, explanation of Chester letters", "chester-letters-forum"),
    ("chester", 1899, "Q", "", "upper", "Aladdin's Cave Jewellery, dealer, 9 carat ring", "aladdins-cave-ring"),
    ("chester", 1909, "J", "", "upper", "a collectors' forum, explanation of Chester letters", "chester-letters-forum"),
    ("chester", 1913, "N", "script", "upper", "a collectors' forum, explanation of Chester letters", "chester-letters-forum"),
    ("dublin", 1638, "A", "roman", "upper", "W. Chaffers, Hall Marks on Gold and Silver Plate, p. 360, Moses Hill flagon", "chaffers-1922"),
    ("dublin", 1659, "b", "roman", "lower", "Sworders, 30 November 2016, lot 201, citing T. Sinsteden, Silver Society Journal 1999", "sworders-2016"),
    ("dublin", 1696, "L", "", "upper", "Hunt Museum, Limerick, Mothell chalice", "hunt-museum-mothell"),
    ("dublin", 1715, "Y", "", "upper", "Vallot Auctioneers, tankard by William Parker", "vallot-1715"),
    ("dublin", 1727, "h", "", "", "J. W. Weldon, Dublin, dealer, piece by Thomas Walker", "weldons"),
    ("dublin", 1776, "D", "", "upper", "J. W. Weldon, Dublin, dealer, first letter with a pellet", "weldons"),
    ("dublin", 1784, "M", "", "upper", "J. W. Weldon, Dublin, dealer, last letter with a pellet", "weldons"),
    ("dublin", 1825, "E", "", "upper", "W. Chaffers, Hall Marks on Gold and Silver Plate, p. 358", "chaffers-1922"),
    ("dublin", 1825, "e", "roman", "lower", "W. Chaffers, Hall Marks on Gold and Silver Plate, p. 358", "chaffers-1922"),
    ("dublin", 1928, "n", "", "", "J. Lilley, weblog on pipes", "lilley-peterson"),
    ("dublin", 1979, "n", "", "lower", "S. Laug, pipe with a silver band", "laug-pipes"),
    ("dublin", 1991, "F", "italic", "upper", "S. Laug, pipe with a silver band", "laug-pipes"),
    ("dublin", 1994, "I", "italic", "upper", "S. Laug, pipe with a silver band", "laug-pipes"),
    ("dublin", 2001, "Q", "italic", "upper", "S. Laug, pipe with a silver band", "laug-pipes"),
    ("dublin", 2019, "I", "italic", "upper", "S. Laug, pipe with a silver band", "laug-pipes"),
    ("dublin", 2019, "I", "", "upper", "Seamus Gill, silversmith, on his own mark", "gill-silversmith"),
    ("edinburgh", 1682, "b", "", "lower", "Lyon & Turnbull, 30 November 2011, lot 423, citing C. J. Jackson p. 500", "lyon-turnbull-2011"),
    ("edinburgh", 1705, "A", "roman", "upper", "A. Hayden, Chats on Old Silver, quaich by Robert Inglis", "hayden-old-silver"),
    ("edinburgh", 1746, "R", "italic", "upper", "A. Hayden, Chats on Old Silver, caster, Royal Scottish Museum", "hayden-old-silver"),
    ("edinburgh", 1750, "V", "italic", "upper", "A. Hayden, Chats on Old Silver, marks of K & D", "hayden-old-silver"),
    ("edinburgh", 1769, "P", "black-letter", "upper", "A. Hayden, Chats on Old Silver, coffee-pot by Patrick Robertson", "hayden-old-silver"),
    ("edinburgh", 1778, "Z", "", "upper", "A. Hayden, Chats on Old Silver, urn by Patrick Robertson", "hayden-old-silver"),
    ("edinburgh", 1954, "Y", "", "", "Mr Jones Watches, dealer, watch presented in 1955", "watch-dealer-1954"),
    ("edinburgh", 2008, "j", "", "lower", "Birmingham Assay Office, of all offices", "birmingham-office"),
    ("edinburgh", 2010, "l", "", "lower", "Birmingham Assay Office, of all offices", "birmingham-office"),
    ("edinburgh", 2016, "r", "", "lower", "Goldsmiths' Company Assay Office, London, of all offices", "london-office"),
    ("edinburgh", 2017, "s", "", "lower", "Goldsmiths' Company Assay Office, London, of all offices", "london-office"),
    ("edinburgh", 2018, "t", "", "lower", "Goldsmiths' Company Assay Office, London, of all offices", "london-office"),
    ("edinburgh", 2019, "u", "", "", "Margaret Griffith, silversmith, her hallmark explained", "griffith-silversmith"),
    ("edinburgh", 2024, "z", "", "lower", "Birmingham Assay Office, of all offices", "birmingham-office"),
    ("edinburgh", 2025, "A", "roman", "upper", "Birmingham Assay Office, of all offices", "birmingham-office"),
    ("exeter", 1701, "A", "roman", "upper", "O. Morgan, Archaeological Journal 9 (1852) p. 316", "morgan-1852"),
    ("exeter", 1725, "a", "", "lower", "O. Morgan, Archaeological Journal 9 (1852) p. 316", "morgan-1852"),
    ("exeter", 1749, "A", "roman", "upper", "O. Morgan, Archaeological Journal 9 (1852) p. 316", "morgan-1852"),
    ("exeter", 1772, "Z", "", "upper", "House of Commons committee of 1773, in A. Hayden, Chats on Old Silver", "hayden-old-silver"),
    ("exeter", 1773, "A", "roman", "upper", "O. Morgan, Archaeological Journal 9 (1852) p. 316", "morgan-1852"),
    ("exeter", 1796, "y", "", "lower", "R. Stagg, The Finial 13/04 (2003) p. 6, pieces shown by A. Dove", "stagg-duty"),
    ("exeter", 1797, "A", "roman", "upper", "O. Morgan, Archaeological Journal 9 (1852) p. 316", "morgan-1852"),
    ("exeter", 1809, "N", "", "upper", "a collector's record of tongs by Richard Ferris", "ferris-tongs-1809"),
    ("exeter", 1810, "O", "", "upper", "a collector's record of tongs by Richard Ferris", "ferris-tongs-1809"),
    ("exeter", 1816, "U", "", "upper", "A. Hayden, Chats on Old Silver, A to U", "hayden-old-silver"),
    ("exeter", 1817, "a", "roman", "lower", "O. Morgan, Archaeological Journal 9 (1852) p. 316", "morgan-1852"),
    ("exeter", 1836, "u", "roman", "lower", "O. Morgan, Archaeological Journal 9 (1852) p. 316", "morgan-1852"),
    ("exeter", 1837, "A", "black-letter", "upper", "O. Morgan, Archaeological Journal 9 (1852) p. 316", "morgan-1852"),
    ("london", 1572, "p", "", "", "Fitzwilliam Museum, Cambridge, M.5-1950, seal-top spoon", "fitzwilliam-spoon"),
    ("london", 1640, "c", "court-hand", "", "A. Hayden, Chats on Old Silver, p. 144", "hayden-old-silver"),
    ("london", 1660, "C", "black-letter", "upper", "A. Hayden, Chats on Old Silver, p. 144", "hayden-old-silver"),
    ("london", 1662, "E", "black-letter", "upper", "A. Hayden, Chats on Old Silver, p. 144", "hayden-old-silver"),
    ("london", 1664, "G", "black-letter", "upper", "A. Hayden, Chats on Old Silver, p. 144", "hayden-old-silver"),
    ("london", 1665, "H", "black-letter", "upper", "A. Hayden, Chats on Old Silver, wine cup", "hayden-old-silver"),
    ("london", 1668, "L", "black-letter", "upper", "A. Hayden, Chats on Old Silver, p. 144", "hayden-old-silver"),
    ("london", 1671, "O", "black-letter", "upper", "A. Hayden, Chats on Old Silver, p. 144", "hayden-old-silver"),
    ("london", 1676, "T", "black-letter", "upper", "A. Hayden, Chats on Old Silver, p. 144", "hayden-old-silver"),
    ("london", 1683, "f", "black-letter", "lower", "A. Hayden, Chats on Old Silver, porringer", "hayden-old-silver"),
    ("london", 1685, "h", "black-letter", "", "A. Hayden, Chats on Old Silver, p. 144", "hayden-old-silver"),
    ("london", 1698, "c", "court-hand", "", "A. Hayden, Chats on Old Silver, p. 147", "hayden-old-silver"),
    ("london", 1699, "d", "court-hand", "", "A. Hayden, Chats on Old Silver, p. 147", "hayden-old-silver"),
    ("london", 1701, "f", "court-hand", "", "A. Hayden, Chats on Old Silver, p. 147", "hayden-old-silver"),
    ("london", 1704, "i", "court-hand", "", "A. Hayden, Chats on Old Silver, p. 147", "hayden-old-silver"),
    ("london", 1705, "k", "court-hand", "", "A. Hayden, Chats on Old Silver, p. 147", "hayden-old-silver"),
    ("london", 1711, "q", "court-hand", "", "A. Hayden, Chats on Old Silver, p. 147", "hayden-old-silver"),
    ("london", 1728, "N", "", "upper", "Historic Deerfield, HD 75.182, salver by Paul de Lamerie", "deerfield-salver"),
    ("london", 1745, "k", "", "", "Bonhams, sale 25255, lot 79, caddy by Paul de Lamerie", "bonhams-caddy"),
    ("london", 1758, "C", "black-letter", "upper", "Carnegie Museum of Art, 81.54.24, tea caddy", "carnegie-caddy"),
    ("london", 1776, "a", "roman", "lower", "G. Ciceri, ASCAS, article 142", "ciceri-cycles"),
    ("london", 1784, "i", "roman", "lower", "W. Chaffers, Hall Marks on Gold and Silver Plate", "chaffers-1922"),
    ("london", 1795, "u", "roman", "lower", "G. Ciceri, ASCAS, article 142", "ciceri-cycles"),
    ("london", 1919, "d", "black-letter", "", "K. Lieblich, pipe with a silver band", "pipe-restorers-london"),
    ("london", 1936, "A", "", "upper", "Sally Antiques, dealer, badge 165958", "arp-badges"),
    ("london", 1938, "C", "", "upper", "Boas Militaria, dealer, badge 51819", "arp-badges"),
    ("london", 1994, "U", "", "upper", "Antiques Trade Gazette, 2019", "atg-2019"),
    ("london", 2008, "j", "", "lower", "Birmingham Assay Office, of all offices", "birmingham-office"),
    ("london", 2010, "l", "", "lower", "Birmingham Assay Office, of all offices", "birmingham-office"),
    ("london", 2019, "u", "", "lower", "Antiques Trade Gazette, 2019", "atg-2019"),
    ("london", 2024, "z", "", "lower", "Birmingham Assay Office, of all offices", "birmingham-office"),
    ("london", 2025, "A", "roman", "upper", "Birmingham Assay Office, of all offices", "birmingham-office"),
    ("newcastle", 1752, "N", "", "upper", "Silfren, dealer, M5163, punch ladle", "newcastle-ladle-1752"),
    ("newcastle", 1806, "Q", "", "upper", "a collector's record of tongs by Thomas Watson", "watson-tongs-1806"),
    ("norwich", 1697, "K", "", "", "a dealer's record, BZ/4868, spoon by Elizabeth Haselwood, citing C. J. Jackson p. 339", "haselwood-spoon"),
    ("sheffield", 1774, "F", "", "upper", "W. Chaffers, Hall Marks on Gold and Silver Plate, p. 315", "chaffers-1922"),
    ("sheffield", 1775, "N", "", "upper", "W. Chaffers, Hall Marks on Gold and Silver Plate, p. 315", "chaffers-1922"),
    ("sheffield", 1778, "S", "black-letter", "upper", "A. Hayden, Chats on Old Silver, candlestick marked I.S.", "hayden-old-silver"),
    ("sheffield", 1799, "E", "roman", "upper", "W. Chaffers, Hall Marks on Gold and Silver Plate, p. 315", "chaffers-1922"),
    ("sheffield", 1800, "N", "roman", "upper", "W. Chaffers, Hall Marks on Gold and Silver Plate, p. 315", "chaffers-1922"),
    ("sheffield", 1843, "z", "roman", "lower", "A. Hayden, Chats on Old Silver, pp. 398-399", "hayden-old-silver"),
    ("sheffield", 1844, "A", "", "upper", "A. Hayden, Chats on Old Silver, pp. 398-399", "hayden-old-silver"),
    ("sheffield", 1867, "Z", "", "upper", "A. Hayden, Chats on Old Silver, pp. 398-399", "hayden-old-silver"),
    ("sheffield", 1868, "A", "sans", "upper", "A. Hayden, Chats on Old Silver, pp. 398-399", "hayden-old-silver"),
    ("sheffield", 1892, "Z", "sans", "upper", "A. Hayden, Chats on Old Silver, pp. 398-399", "hayden-old-silver"),
    ("sheffield", 1893, "a", "black-letter", "lower", "A. Hayden, Chats on Old Silver, pp. 398-399", "hayden-old-silver"),
    ("sheffield", 1921, "d", "", "lower", "an owner's note, fruit knife by C. W. Fletcher & Sons", "fruit-knife-1921"),
    ("sheffield", 1973, "E", "black-letter", "upper", "Grand Auctions, commemorative hallmarks", "grand-auctions"),
    ("sheffield", 2008, "j", "", "lower", "Birmingham Assay Office, of all offices", "birmingham-office"),
    ("sheffield", 2010, "l", "", "lower", "Birmingham Assay Office, of all offices", "birmingham-office"),
    ("sheffield", 2024, "z", "", "lower", "Birmingham Assay Office, of all offices", "birmingham-office"),
    ("sheffield", 2025, "A", "roman", "upper", "Birmingham Assay Office, of all offices", "birmingham-office"),
    ("york", 1674, "R", "", "upper", "A. Hayden, Chats on Old Silver, flagon of the Corporation of York", "hayden-old-silver"),
];

/// One line of the expanded letters.
struct Line {
    office: String,
    year: i32,
    begins: String,
    ends: String,
    letter: String,
    lettering: String,
    case: String,
    sources: String,
}

impl Line {
    /// Some source of the line is the work named.
    fn cites(&self, work: &str) -> bool {
        self.sources.split('|').any(|s| s.split(' ').next() == Some(work))
    }
}

fn lines() -> Vec<Line> {
    let columns: Vec<&str> = export::HEAD.split('\t').collect();
    let at = |name: &str| columns.iter().position(|c| *c == name).expect("a column");
    export::lines(Tables::builtin().image())
        .iter()
        .map(|line| {
            let cells: Vec<&str> = line.split('\t').collect();
            let cell = |name: &str| cells[at(name)].to_string();
            Line {
                office: cell("office"),
                year: cell("year").parse().expect("a year"),
                begins: cell("begins"),
                ends: cell("ends"),
                letter: cell("letter"),
                lettering: cell("lettering"),
                case: cell("case"),
                sources: cell("sources"),
            }
        })
        .collect()
}

/// I and J are one letter, and U and V, where the alphabet strikes only one of the two: where the
/// next letter or the last is not the other.
fn one_letter(lines: &[Line], line: &Line, printed: &str) -> bool {
    let other = match line.letter.to_ascii_lowercase().as_str() {
        "i" => "j",
        "j" => "i",
        "u" => "v",
        "v" => "u",
        _ => return false,
    };
    printed.eq_ignore_ascii_case(other)
        && !lines.iter().any(|l| {
            l.office == line.office
                && (l.year - line.year).abs() == 1
                && l.letter.eq_ignore_ascii_case(other)
        })
}

/// What the lines of a year say against a pin, or nothing if one of them bears it out.
fn against(lines: &[Line], pin: &Pin) -> Option<String> {
    let (office, year, letter, lettering, case, source, _) = *pin;
    let of_year: Vec<&Line> =
        lines.iter().filter(|l| l.office == office && l.year == year).collect();
    let same = |l: &&&Line| {
        (l.letter.eq_ignore_ascii_case(letter) || one_letter(lines, l, letter))
            && (case.is_empty() || l.case.is_empty() || l.case == case)
            && (lettering.is_empty() || l.lettering.is_empty() || l.lettering == lettering)
    };
    if of_year.iter().any(|l| same(&l)) {
        return None;
    }
    let stands: Vec<String> =
        of_year.iter().map(|l| format!("{} {} {}", l.letter, l.lettering, l.case)).collect();
    Some(format!(
        "{office} {year}: the tables have {}; {letter} {lettering} {case} says {source}",
        stands.join(" and ")
    ))
}

#[test]
fn published_letters_stand_in_the_tables() {
    let lines = lines();
    let wrong: Vec<String> = [INDEPENDENT, WEAK, SAME_SOURCE]
        .iter()
        .flat_map(|list| list.iter())
        .filter_map(|pin| against(&lines, pin))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn independent_pins_are_not_what_the_tables_rest_on() {
    let lines = lines();
    for (office, year, letter, .., source, work) in INDEPENDENT.iter().chain(WEAK) {
        let cited = lines.iter().any(|l| l.office == *office && l.year == *year && l.cites(work));
        assert!(
            work.is_empty() || !cited,
            "{office} {year} {letter}: {source} is cited for that letter; it pins nothing"
        );
    }
    for (office, year, letter, .., source, work) in SAME_SOURCE {
        assert!(
            lines.iter().any(|l| l.office == *office && l.cites(work)),
            "{office} {year} {letter}: {source} is cited for no letter of the office; it would be independent"
        );
    }
}

#[test]
fn how_much_is_pinned() {
    let lines = lines();
    let years = |list: &[Pin]| -> BTreeSet<(String, i32)> {
        list.iter().map(|p| (p.0.to_string(), p.1)).collect()
    };
    let independent = years(INDEPENDENT);
    let weak: BTreeSet<_> = &years(WEAK) - &independent;
    let same: BTreeSet<_> = &(&years(SAME_SOURCE) - &independent) - &weak;
    let all: BTreeSet<(String, i32)> = lines.iter().map(|l| (l.office.clone(), l.year)).collect();
    let known: BTreeSet<(String, i32)> =
        lines.iter().filter(|l| !l.letter.is_empty()).map(|l| (l.office.clone(), l.year)).collect();
    let share = |n: usize| 100.0 * n as f64 / known.len() as f64;
    println!("{} letter years, {} with a known letter", all.len(), known.len());
    for (name, set) in [
        ("pinned by an independent source", &independent),
        ("pinned by a weak source only", &weak),
        ("stated only by a source the tables rest on", &same),
    ] {
        println!("{:>5} ({:.1} %) {name}", set.len(), share(set.len()));
    }
    let stated = independent.len() + weak.len() + same.len();
    println!(
        "{:>5} ({:.1} %) stated by no dated letter here",
        known.len() - stated,
        share(known.len() - stated)
    );
    let mut offices: BTreeMap<&str, [usize; 4]> = BTreeMap::new();
    for (i, set) in [&known, &independent, &weak, &same].iter().enumerate() {
        for (office, _) in set.iter() {
            offices.entry(office).or_default()[i] += 1;
        }
    }
    println!("office: letter years known, independent, weak, same source");
    for (office, n) in offices {
        println!("  {office}: {}, {}, {}, {}", n[0], n[1], n[2], n[3]);
    }
    // A loss of pins, or of letters, should be loud.
    assert!(independent.is_subset(&known) && weak.is_subset(&known) && same.is_subset(&known));
    assert_eq!((independent.len(), weak.len(), same.len()), (42, 42, 118));
    assert!(all.len() >= 2980 && known.len() >= 2822, "{} of {} known", known.len(), all.len());
}

/// Which end of the days still possible a law fixes.
#[derive(Clone, Copy, Debug)]
enum End {
    Begins,
    Ends,
}
use End::{Begins, Ends};

/// A law, a description that rests on it, the entry it must give (office, letter year, metal and
/// fineness), and the day that must bound it.
type Law = (&'static str, &'static str, (&'static str, i32, &'static str), End, &'static str);

#[rustfmt::skip]
const LAWS: &[Law] = &[
    ("8 & 9 Will. III c. 8: the new standard from 27 March 1697",
        "Britannia, lion's head erased, court hand a", ("london", 1697, "silver 958"), Begins, "1697-03-27"),
    ("8 & 9 Will. III c. 8: sterling to 26 March 1697",
        "leopard's head crowned, lion passant, small black letter t", ("london", 1696, "silver 925"), Ends, "1697-03-26"),
    ("6 Geo. I c. 11: sterling again from 1 June 1720",
        "leopard's head crowned, lion passant, roman capital E", ("london", 1720, "silver 925"), Begins, "1720-06-01"),
    ("3 Geo. II c. 3 (Ireland): duty and Hibernia from 25 March 1730",
        "harp crowned, Hibernia, capital black letter K", ("dublin", 1729, "silver 925"), Begins, "1730-03-25"),
    ("13 Geo. III c. 52: the office at Birmingham, first assay 31 August 1773",
        "anchor, lion passant, roman capital A", ("birmingham", 1773, "silver 925"), Begins, "1773-08-31"),
    ("24 Geo. III sess. 2 c. 53: duty and the sovereign's head from 1 December 1784",
        "leopard's head crowned, lion passant, small roman i, king's head", ("london", 1784, "silver 925"), Begins, "1784-12-01"),
    ("24 Geo. III sess. 2 c. 53: the head sunk into the metal",
        "leopard's head crowned, lion passant, small roman i, incuse king's head", ("london", 1784, "silver 925"), Begins, "1784-12-01"),
    ("25 Geo. III c. 64: the drawback mark ended on 24 July 1785",
        "leopard's head crowned, lion passant, small roman k, incuse king's head, incuse Britannia standing", ("london", 1785, "silver 925"), Ends, "1785-07-24"),
    ("37 Geo. III c. 90: duty doubled from 5 July 1797",
        "anchor, lion passant, roman capital Z, king's head struck twice", ("birmingham", 1797, "silver 925"), Begins, "1797-07-05"),
    ("38 Geo. III c. 69: gold of 18 carats from 1 October 1798",
        "leopard's head crowned, crown and 18, roman capital C, king's head", ("london", 1798, "gold 750"), Begins, "1798-10-01"),
    ("53 & 54 Vict. c. 8: duty on silver ended; last day 30 April 1890",
        "leopard's head, lion passant, roman capital O, queen's head", ("london", 1889, "silver 925"), Ends, "1890-04-30"),
    ("Hallmarking Act 1973: the old letters to 31 December 1974",
        "leopard's head, lion passant, small roman t", ("london", 1974, "silver 925"), Ends, "1974-12-31"),
    ("Hallmarking Act 1973: one letter for all offices from 1 January 1975",
        "leopard's head, lion passant, italic capital A", ("london", 1975, "silver 925"), Begins, "1975-01-01"),
    ("Hallmarking Act 1973: platinum from 1 January 1975",
        "leopard's head, orb and cross, italic capital A", ("london", 1975, "platinum 950"), Begins, "1975-01-01"),
    ("S.I. 1998/2978: the fineness in thousandths from 1 January 1999",
        "leopard's head, 925 in an oval, italic capital Z", ("london", 1999, "silver 925"), Begins, "1999-01-01"),
    ("S.I. 2009/2040: palladium from 22 July 2009",
        "leopard's head, head of Pallas Athene, 950, small k", ("london", 2009, "palladium 950"), Begins, "2009-07-22"),
];

#[test]
fn readings_keep_the_days_of_the_statutes() {
    let mut wrong = Vec::new();
    for (law, description, (office, year, standard), end, day) in LAWS {
        let reading = puncheon::read(Tables::builtin(), description, &Options::default());
        let fit = reading.fits.iter().find(|f| {
            f.office.as_deref() == Some(*office)
                && f.year == Some(*year)
                && format!("{} {}", f.metal, f.fineness.unwrap_or(0)) == *standard
        });
        let got = fit.map(|f| match end {
            Begins => f.begins.clone(),
            Ends => f.ends.clone(),
        });
        if got != Some(Some(day.to_string())) {
            wrong
                .push(format!("{law}: {description}: {office} {year} {standard}: {end:?} {got:?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// A law, a description, an office, a metal, and the letter years from which the law shuts it out.
type Shut = (&'static str, &'static str, &'static str, &'static str, (i32, i32));

const SHUT_OUT: &[Shut] = &[
    (
        "8 & 9 Will. III c. 8 and 6 Geo. I c. 11: no sterling silver from March 1697 to June 1720",
        "leopard's head, lion passant",
        "london",
        "silver",
        (1698, 1719),
    ),
    (
        "24 Geo. III sess. 2 c. 53: no sovereign's head before December 1784",
        "leopard's head crowned, lion passant, king's head",
        "london",
        "silver",
        (1300, 1783),
    ),
    (
        "53 & 54 Vict. c. 8: no head of Victoria after April 1890",
        "anchor, lion passant, Victoria's head",
        "birmingham",
        "silver",
        (1891, 2026),
    ),
    (
        "38 Geo. III c. 69: no gold of 18 carats before 1798",
        "leopard's head, crown and 18",
        "london",
        "gold",
        (1300, 1797),
    ),
    (
        "S.I. 2009/2040: no palladium before 2009",
        "anchor, head of Pallas Athene",
        "birmingham",
        "palladium",
        (1300, 2008),
    ),
    (
        "Plate Assay Act 1700 and Newcastle Act 1702: no letters there before 1702",
        "three castles, Britannia, lion's head erased",
        "newcastle",
        "silver",
        (1300, 1701),
    ),
];

#[test]
fn readings_keep_out_what_a_statute_forbade() {
    for (law, description, office, metal, (from, to)) in SHUT_OUT {
        let reading = puncheon::read(Tables::builtin(), description, &Options::default());
        let mut any = false;
        for f in &reading.fits {
            if f.office.as_deref() != Some(*office) || f.metal != *metal {
                continue;
            }
            any = true;
            assert!(f.to < *from || f.from > *to, "{law}: {description}: {} {}", office, f.shown);
        }
        assert!(any, "{law}: {description} fits {office} in no year");
    }
}

/// The letter year of London cut where a law or the office's own change cut it, not only in the
/// readings above but in the rows themselves.
#[test]
fn rows_are_cut_on_the_days_of_the_statutes() {
    let image = Tables::builtin().image();
    let begins: BTreeSet<String> = (0..image.meta(Meta::Rows))
        .map(|r| image.row(r))
        .filter(|r| image.office(r.letter().office()).id() == "london")
        .map(|r| export::day(r.begins()))
        .collect();
    for day in [
        "1697-03-27", // 8 & 9 Will. III c. 8
        "1720-06-01", // 6 Geo. I c. 11
        "1784-12-01", // 24 Geo. III sess. 2 c. 53
        "1797-07-05", // 37 Geo. III c. 90
        "1798-10-01", // 38 Geo. III c. 69
        "1975-01-01", // Hallmarking Act 1973
        "1999-01-01", // S.I. 1998/2978
        "2009-07-22", // S.I. 2009/2040
    ] {
        assert!(begins.contains(day), "no row of London begins on {day}");
    }
}

/// A day as the tables write it: one that is, or was, on the calendar.
fn civil(text: &str) -> Option<Date> {
    (!text.is_empty()).then(|| {
        let day: Date = text.parse().unwrap_or_else(|e| panic!("{text}: {e}"));
        assert_eq!(day.to_string(), text);
        // Eleven days that were not, by 24 Geo. II c. 23.
        assert!(!(date(1752, 9, 3)..=date(1752, 9, 13)).contains(&day), "{text} never was");
        day
    })
}

/// The next civil day. Days before 14 September 1752 are Julian; no letter ends where a Julian
/// and a Gregorian February differ, so that counting on is the same in both.
fn next(day: Date) -> Date {
    assert!(day.month() != 2, "{day}: February needs its own calendar");
    if day == date(1752, 9, 2) {
        return date(1752, 9, 14);
    }
    day.tomorrow().expect("a day after")
}

#[test]
fn letters_begin_the_day_after_the_last_one_ended() {
    let lines = lines();
    let (mut days, mut joints) = (0, 0);
    let mut wrong = Vec::new();
    for pair in lines.windows(2) {
        let [a, b] = pair else { unreachable!() };
        let [begins, ends] = [civil(&a.begins), civil(&a.ends)];
        days += usize::from(begins.is_some()) + usize::from(ends.is_some());
        if let (Some(begins), Some(ends)) = (begins, ends) {
            assert!(begins <= ends, "{} {}: ends before it begins", a.office, a.year);
        }
        if let Some(begins) = begins {
            assert_eq!(i32::from(begins.year()), a.year, "{} {}", a.office, a.year);
        }
        // A gap in the letters is no joint, nor are two letters struck side by side.
        if a.office != b.office || b.year > a.year + 1 {
            continue;
        }
        let later = |one: Option<Date>, other: Option<Date>| match (one, other) {
            (Some(one), Some(other)) => one < other,
            _ => true,
        };
        if !later(begins, civil(&b.begins)) || !later(ends, civil(&b.ends)) {
            wrong.push(format!(
                "{}: {} {} to {}, but {} {} to {}",
                a.office, a.year, a.begins, a.ends, b.year, b.begins, b.ends
            ));
        }
        if let (Some(ends), Some(begins)) = (ends, civil(&b.begins)) {
            joints += 1;
            assert_eq!(
                next(ends),
                begins,
                "{}: {} ends {ends}, {} begins {begins}",
                a.office,
                a.year,
                b.year
            );
        }
    }
    println!("{days} first and last days, {joints} of them meet the next letter's");
    assert!(days >= 2050 && joints >= 1020, "{days} days, {joints} joints");
    assert!(
        wrong.is_empty(),
        "a letter must begin and end before the next does:\n{}",
        wrong.join("\n")
    );
}

#[test]
fn letters_of_the_act_of_1973_are_calendar_years() {
    let mut tried = 0;
    for l in lines() {
        let united = ["birmingham", "edinburgh", "london", "sheffield"].contains(&&*l.office);
        if united && l.year >= 1975 {
            assert_eq!(l.begins, format!("{}-01-01", l.year), "{}", l.office);
            assert_eq!(l.ends, format!("{}-12-31", l.year), "{}", l.office);
            tried += 1;
        }
    }
    assert!(tried >= 4 * 50, "{tried} letters");
}

/// The styled alphabets, with the blocks and the holes of the Unicode standard.
#[test]
fn styled_letters_are_what_the_unicode_standard_calls_them() {
    let image = Tables::builtin().image();
    // Lettering, its word in the block's names, and that in the names of the letters which stand
    // elsewhere.
    let styles = [
        ("italic", "MATHEMATICAL ITALIC", ""),
        ("script", "MATHEMATICAL SCRIPT", "SCRIPT"),
        ("black-letter", "MATHEMATICAL FRAKTUR", "BLACK-LETTER"),
    ];
    let mut holes = Vec::new();
    let mut seen = BTreeSet::new();
    for i in 0..image.meta(Meta::Letterings) {
        let lettering = image.lettering(i);
        for upper in [true, false] {
            let styled = lettering.styled(upper);
            let Some((_, block, elsewhere)) = styles.iter().find(|s| s.0 == lettering.id()) else {
                assert_eq!(styled, "", "{} stays plain", lettering.id());
                continue;
            };
            seen.insert(lettering.id());
            assert_eq!(styled.chars().count(), 26, "{}", lettering.id());
            let size = if upper { "CAPITAL" } else { "SMALL" };
            for (letter, c) in ('A'..='Z').zip(styled.chars()) {
                let name = unicode_names2::name(c).expect("a named character").to_string();
                if name == format!("{block} {size} {letter}") {
                    continue;
                }
                // Planck's constant is the italic small h.
                let h = (lettering.id(), upper, letter) == ("italic", false, 'H');
                assert!(
                    name == format!("{elsewhere} {size} {letter}")
                        || h && name == "PLANCK CONSTANT",
                    "{} {size} {letter}: {c} is {name}",
                    lettering.id()
                );
                holes.push(c);
            }
        }
    }
    assert_eq!(seen.len(), styles.len());
    holes.sort_unstable();
    let mut expected: Vec<char> = "ℭℌℑℜℨℬℰℱℋℐℒℳℛℯℊℴℎ".chars().collect();
    expected.sort_unstable();
    assert_eq!(holes, expected);
}
