package tickets

func (j *jobReader) note() {}
