"""One module a part: sets what the solver asks against what the clauses give."""
