/** What the columns of a list of swimmers are called. The words are common practice, no source. */
import { words, type MatchField, plainWords } from './columns.ts';

const LEFT = words('left l links linke linker gauche izquierda izq sinistra sx esquerda esq');

const RIGHT = words('right r rechts rechte rechter droite derecha der destra dx direita dir');

const AREA = words('area flache flaeche handflache handflaeche surface aire oppervlak superficie');

const HAND = words('hand hands main mano mao palm surface');

const CONSENT = words(
  'consent einwilligung einverstandnis einverstaendnis consentement consentimiento consentimento consenso toestemming assent',
);

const FILM = words(
  'filming film filmed video filmaufnahme filmaufnahmen filmen tournage grabacion filmar filmagem ripresa riprese',
);

const BODY = words('body standing corporal corporelle corporea corporeo korper koerper');

/** The fields of a swimmer that a column may give; the code comes first. */
export const ROSTER_FIELDS: readonly MatchField[] = [
  {
    field: 'participant',
    needed: true,
    says: 'The swimmer’s code, never a name: up to 56 of the characters A–Z a–z 0–9 _ . -',
    groups: [
      words(
        'participant code id pseudonym swimmer subject athlete proband probandin probanden schwimmer schwimmerin teilnehmer teilnehmerin versuchsperson vp sujet nageur nageuse participante nadador nadadora sujeto partecipante nuotatore nuotatrice codice codigo deelnemer zwemmer proefpersoon kurzel kuerzel',
      ),
    ],
    beside: words('no nr number num nummer numero'),
  },
  {
    field: 'sex',
    needed: false,
    says: 'female, male or unspecified, or f, m, w and the like.',
    groups: [words('sex gender geschlecht sexe genre sexo genero sesso genere geslacht')],
    beside: words('m f w v d x male female'),
  },
  {
    field: 'birth_year',
    needed: false,
    says: 'A year, or a date of birth, of which only the year is kept.',
    groups: [
      words(
        'birthyear birth yob born dob birthdate birthday geburtsjahr jahrgang geburtsdatum geboren naissance nacimiento nascimento nascita geboortejaar geboortedatum geboorte',
      ),
    ],
    beside: words('year date annee ano anno jahr fecha data datum jour'),
  },
  {
    field: 'height_cm',
    needed: false,
    says: 'cm; another unit stands in the heading, such as “height (m)”.',
    groups: [
      words(
        'height stature grosse groesse korpergrosse koerpergroesse korperhohe taille talla altura estatura altezza statura lengte lichaamslengte',
      ),
    ],
    beside: BODY,
  },
  {
    field: 'mass_kg',
    needed: false,
    says: 'kg; another unit stands in the heading.',
    groups: [
      words(
        'mass weight bodymass bodyweight masse gewicht korpergewicht koerpergewicht korpermasse koerpermasse poids peso massa lichaamsgewicht',
      ),
    ],
    beside: BODY,
  },
  {
    field: 'left_hand_area_cm2',
    needed: false,
    says: 'Area of the left hand, cm²; another unit stands in the heading.',
    groups: [LEFT, AREA],
    beside: HAND,
  },
  {
    field: 'right_hand_area_cm2',
    needed: false,
    says: 'Area of the right hand, cm²; another unit stands in the heading.',
    groups: [RIGHT, AREA],
    beside: HAND,
  },
  {
    field: 'hand_area_u_cm2',
    needed: false,
    says: 'Standard uncertainty of a hand’s area, cm².',
    groups: [
      words(
        'u uncertainty unsicherheit messunsicherheit incertitude incertidumbre incerteza incertezza onzekerheid',
      ),
    ],
    beside: [...HAND, ...AREA, 'standard', 'measurement'],
  },
  {
    field: 'consent',
    needed: false,
    says: 'Consent to measuring: given, assent and guardian, withdrawn, no; empty is missing, and then there is no trial.',
    groups: [CONSENT],
    beside: words(
      'measuring measurement measure messung study studie informed signed status participation mesure',
    ),
  },
  {
    field: 'guardian_consent',
    needed: false,
    says: 'For a minor: yes where a guardian consents; with the swimmer’s own yes it makes “assent and guardian”.',
    groups: [
      words(
        'guardian guardians parent parents parental eltern sorgeberechtigte erziehungsberechtigte tuteur parentale tutor padres genitori ouders voogd',
      ),
    ],
    beside: [...CONSENT, 'signed', 's'],
  },
  {
    field: 'consent_filming',
    needed: false,
    says: 'Consent to filming: yes or no; empty is not asked.',
    groups: [FILM],
    beside: [...CONSENT, 'ok', 'allowed', 'agreed'],
  },
  {
    field: 'consent_sharing',
    needed: false,
    says: 'Consent to showing film to others: yes or no; empty is not asked.',
    groups: [
      words(
        'sharing share shared showing show publication publish publishing weitergabe veroffentlichung veroeffentlichung partage diffusion difusion compartir condivisione partilha delen',
      ),
    ],
    beside: [...CONSENT, ...FILM, 'ok', 'allowed', 'agreed'],
  },
  {
    field: 'consent_text_version',
    needed: false,
    says: 'Version of the consent text that was signed.',
    groups: [
      words('version fassung versie versione'),
      [...CONSENT, 'text', 'form', 'formular', 'formulaire'],
    ],
    beside: [],
  },
  {
    field: 'note',
    needed: false,
    says: 'Free text; no names.',
    groups: [
      words(
        'note notes remark remarks comment comments bemerkung bemerkungen anmerkung anmerkungen notiz notizen kommentar commentaire commentaires remarque remarques nota notas observaciones comentario comentarios observacoes osservazioni commento commenti opmerking opmerkingen',
      ),
    ],
    beside: [],
  },
];

const NAME = new Set(
  words(
    'name names fullname surname firstname forename lastname familyname givenname vorname nachname familienname prenom nom nombre nombres apellido apellidos nome cognome sobrenome naam voornaam achternaam email mail telephone telefon phone mobile',
  ),
);

/** True for a heading of names, or of ways to reach a person: such a column is never taken. */
export function isPersonal(column: string): boolean {
  return plainWords(column).some((word) => NAME.has(word));
}
