import type { reasons as english } from '../en/reasons.ts'
import type { SameKeys } from '../phrases.ts'

export const reasons = {
  'reasons.title': 'Gründe',
  'reasons.working': 'Es wird geprobt und jeder Schritt gefragt, was er tut …',
  'reasons.why': 'Warum es so verläuft',
  'reasons.depth': 'Wie viel gesagt wird',
  'reasons.depthSentence': 'Ein Satz fürs Publikum',
  'reasons.depthParagraph': 'Ein Absatz',
  'reasons.depthEquations': 'Gleichungen und Quellen',
  'reasons.fromRun': 'Alles berechnet aus diesem Verlauf mit dem Modell: {model}.',

  'reasons.oneNothing': 'Es ist nichts zu sehen: {cause}.',
  'reasons.oneCycles': {
    one: 'Die einen Reaktionen bilden {species}, andere nehmen es wieder weg; abwechselnd gewinnt die eine Seite, und die Flüssigkeit geht von {from} zu {to} und zurück, {n} Mal, und dann: {cause}.',
    other:
      'Die einen Reaktionen bilden {species}, andere nehmen es wieder weg; abwechselnd gewinnt die eine Seite, und die Flüssigkeit geht von {from} zu {to} und zurück, {n} Mal, anfangs etwa alle {period}, und dann: {cause}.',
  },
  'reasons.oneCyclesOn': {
    one: 'Die einen Reaktionen bilden {species}, andere nehmen es wieder weg; abwechselnd gewinnt die eine Seite, und die Flüssigkeit geht von {from} zu {to} und zurück, mehr als {n} Mal.',
    other:
      'Die einen Reaktionen bilden {species}, andere nehmen es wieder weg; abwechselnd gewinnt die eine Seite, und die Flüssigkeit geht von {from} zu {to} und zurück, mehr als {n} Mal, anfangs etwa alle {period}.',
  },
  'reasons.oneHidden':
    'Von der ersten Sekunde an entsteht {species}, doch {gone} nimmt es sofort weg; ist {gone} nach etwa {time} aufgebraucht, schlägt die Flüssigkeit von {from} zu {to} um.',
  'reasons.onePlain': 'Nach etwa {time} schlägt die Flüssigkeit von {from} zu {to} um; {cause}.',
  'reasons.beforeBoth': 'Vor dem ersten Umschlag wird {species} vor allem durch {made} gebildet und vor allem durch {used} verbraucht.',
  'reasons.beforeMade': 'Vor dem ersten Umschlag wird {species} vor allem durch {made} gebildet, und kaum etwas verbraucht es.',
  'reasons.goneAt': 'Bei {clock} auf der Uhr ist {gone} aufgebraucht; nichts verdeckt die Farbe mehr, und aus {from} wird {to}.',
  'reasons.beforeUsed': 'Vor dem ersten Umschlag wird {species} vor allem durch {used} verbraucht.',
  'reasons.alternates':
    'Über die ganze Schau kommt {species} vor allem aus {made} und geht vor allem in {used}; die Farbe kommt, sooft das erste das zweite überholt.',
  'reasons.percent': '{share} % davon',
  'reasons.and': 'und',
  'reasons.limits': '{what}: Zuerst geht {species} aus; {other} würde für das {ratio}-Fache reichen.',
  'reasons.endsWith': 'Wie es endet: {cause}.',

  'reasons.along': 'Welcher Schritt wann herrscht',
  'reasons.madeBy': '{species} wird gebildet durch',
  'reasons.usedBy': '{species} wird verbraucht durch',
  'reasons.bandLabel': 'Herrschende Schritte entlang der Zeit; dasselbe unten als Liste',
  'reasons.bandTable': 'Herrschende Schritte als Liste',
  'reasons.network': 'Das Netz in diesem Augenblick',
  'reasons.networkHint':
    'Stoffe sind rund, Schritte eckig; was die Flüssigkeit färbt, hat einen dicken Rand. Linien sind so breit, wie ein Schritt gerade läuft, nach Zehnerpotenzen. Die herrschenden Schritte sind umrahmt und sagen, was sie tun.',
  'reasons.networkLabel':
    'Reaktionsnetz bei {time}. Pfeiltasten verschieben, + und − holen näher und weiter, 0 zeigt alles. Die Tabelle darunter sagt dasselbe.',
  'reasons.networkPicture': 'Zeichnung',
  'reasons.networkTools': 'Zeichnung',
  'reasons.layingOut': 'Das Netz wird angeordnet …',
  'reasons.layoutFailed': 'Das Netz konnte hier nicht angeordnet werden; die Tabellen darunter sagen dasselbe.',
  'reasons.follow': 'Verfolgen',
  'reasons.followNone': 'keinen Stoff',
  'reasons.allSteps': 'Alle {of} Schritte, nicht nur die {shown}, auf die es in diesem Verlauf ankommt',
  'reasons.makesShare': 'bildet {species} {share} %',
  'reasons.usesShare': 'verbraucht {species} {share} %',
  'reasons.whoMakes': 'Wer bei {time} was bildet und verbraucht',
  'reasons.whoMakesLabel': 'Wer was bildet und verbraucht',
  'reasons.species': 'Stoff',
  'reasons.made': 'gebildet durch',
  'reasons.used': 'verbraucht durch',
  'reasons.inBalance': 'im Gleichgewicht',
  'reasons.nothing': 'nichts',

  'reasons.runsOut': 'Was ausgeht',
  'reasons.limitedBy': 'Zuerst geht aus:',
  'reasons.wouldDo': '{species} würde für das {ratio}-Fache reichen',
  'reasons.plenty': '{species} ist reichlich da',
  'reasons.noLimit': 'Nichts davon ist durch das Vorhandene begrenzt.',

  'reasons.answersTo': 'Worauf es anspricht',
  'reasons.answersHint': 'Welche Zutat stimmen muss und welche kaum zählt: Jede Menge wird etwas kleiner und größer geprobt.',
  'reasons.answersStart': 'Jede Zutat versuchen',
  'reasons.answersConstants': 'und jede Konstante des Modells (langsam)',
  'reasons.answersWorking': 'Proben kleiner und größer',
  'reasons.changed': 'geändert',
  'reasons.moreOf': '10 % mehr {what} in {solution}',
  'reasons.moreConstant': '10 % mehr von {name}',
  'reasons.oneKelvin': '1 K wärmer',
  'reasons.strength': 'wie stark',

  'reasons.step': 'Schritt',
  'reasons.equation': 'Gleichung',
  'reasons.law': 'Geschwindigkeit',
  'reasons.constants': 'Konstanten, wie bekannt, und Quellen',
  'reasons.lumped': 'Mehrere Schritte in einem:',
  'reasons.sources': 'Quellen',

  'reasons.figures': 'Abbildungen und Film',
  'reasons.figure.strip': 'Farbstreifen',
  'reasons.figure.traces': 'Kurven',
  'reasons.figure.network': 'Netz in diesem Augenblick',
  'reasons.saveAs': '{what} als {as} speichern',
  'reasons.film': 'Film',
  'reasons.filmHint': 'Gefäß, Streifen und eine Kurve als WebM-Film, in diesem Browser gemacht.',
  'reasons.filmSize': 'Größe',
  'reasons.filmRate': 'Bilder je Sekunde',
  'reasons.filmTrace': 'Kurve',
  'reasons.filmCode': 'Zeitcode in der Ecke',
  'reasons.filmLength': 'Er wird {time} dauern: {frames} Bilder.',
  'reasons.filmMake': 'Film machen',
  'reasons.filmWorking': 'Bild für Bild wird gezeichnet',
  'reasons.filmAsPictures':
    'Dieser Browser kann kein Video kodieren. Der Film wird stattdessen als ein bewegtes PNG gesichert: größer, ohne Farbverlust; Browser zeigen es, Videoprogramme lesen es.',
  'reasons.filmFailed':
    'Der Film konnte nicht gemacht werden: {why}. Versuchen Sie eine kleinere Größe, oder speichern Sie die Abbildungen.',
} as const satisfies SameKeys<typeof english>
