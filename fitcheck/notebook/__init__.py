"""Public functions beside the answer: estimates for notebooks and scripts that no report needs."""
