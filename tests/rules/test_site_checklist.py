"""The site checklist as a whole: questions with their answers, and answers that nothing asks for."""

from rules import cases_devices

from ampacre.model import records as r
from ampacre.model.edits import put
from ampacre.rules.questions import answer_dropped, answered, asked, open_questions, with_answers
from ampacre.study.study import Study

HANDLES = "device-handle-height"


def lines(project):
    return {(line.question, line.where): line for line in asked(Study(project))}


def test_every_question_stands_once_with_the_answer_that_it_got():
    project = cases_devices.plain()
    told = project.apply(answered(project, HANDLES, "P", "no", "behind the boiler"))
    (answer,) = told.answers.values()
    assert lines(told)[HANDLES, "P"].answer == answer
    assert lines(told).keys() == lines(project).keys()
    assert all(line.stands for line in lines(told).values())
    still_open = {(each.question, each.where) for each in open_questions(Study(told))}
    assert still_open == lines(told).keys() - {(HANDLES, "P")}


def test_an_answer_that_nothing_asks_for_is_kept_and_can_be_taken_back():
    project = cases_devices.plain()
    stray = r.Answer(id="s", question="asked-long-ago", where="P", value="yes")
    held = project.apply(put("", "answers", stray))
    line = lines(held)["asked-long-ago", "P"]
    assert (line.stands, line.answer, line.text) == (False, stray, "asked-long-ago")
    assert held.apply(answer_dropped(held, stray)) == project


def test_an_answer_taken_back_leaves_its_question_open():
    project = cases_devices.plain()
    told = project.apply(answered(project, HANDLES, "P", "yes"))
    (answer,) = told.answers.values()
    edit = answer_dropped(told, answer)
    assert edit.label == "Take back an answer about P"
    assert lines(told.apply(edit))[HANDLES, "P"].answer is None


def test_labels_name_the_place():
    project = cases_devices.plain()
    run = next(run for run in project.runs.values() if run.target == "P")
    assert answered(project, HANDLES, "P", "no").label == "Answer no about P"
    assert answered(project, HANDLES, run.id, "yes").label == "Answer yes about the run to P"
    assert answered(project, HANDLES, "project", "yes").label == "Answer yes about the property"


def test_answers_joined_to_the_lines_there_are_give_the_whole_checklist():
    project = cases_devices.plain()
    stray = r.Answer(id="s", question="asked-long-ago", where="P", value="yes")
    told = project.apply(answered(project, HANDLES, "P", "no")).apply(put("", "answers", stray))
    plain = tuple(asked(Study(project)))
    whole = tuple(asked(Study(told)))
    assert with_answers(plain, told) == whole
    assert with_answers(whole, project) == plain
