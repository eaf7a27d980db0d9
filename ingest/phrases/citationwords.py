"""The words and short numbers of which citations are made."""

from benchleaf.ingest.phrases.tags import CODE, WEAK

C = f"[{CODE}{WEAK}]"
NO = r"(?: ?(?:nos?\b\.?|numbers?\b|#))?[ :]{0,2}"
ITEM_WORDS = (
    r"(?:items?|steps?|operations?|opns?\.?|ops?\.|paragraphs?|paras?\.?|points?|(?:sub-?)?clauses?"
    r"|instructions?|tasks?|pos(?:itions?)?\.?"
    r"|entry|entries|sub-?(?:step|item|paragraph)s?|(?:work|working|procedure|assembly|job) "
    r"(?:steps?|items?|operations?))"
)
# "D-4 on page 6": the chapter's letter and the step's number.
LETTERED_STEP = (
    r"(?-i:[A-Z]-[0-9]{1,2}(?:(?= on (?:the )?(?:pages?|pp?\.|sheets?)[ :])"
    r"|(?<=[Pp]age [0-9], [A-Z]-[0-9])(?![0-9])|(?<=[Pp]age [0-9]{2}, [A-Z]-[0-9])(?![0-9])"
    r"|(?<=[Ss]ame page, [A-Z]-[0-9])(?![0-9])))"
)
