"""What a finding says where the test is to show that few notice: a similarity test."""
