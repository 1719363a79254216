"""The same roofs solved by general libraries, from the job file up."""
