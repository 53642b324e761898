"""What a course needs: the reader's folder, their own drive, questions that answer."""
